#pragma once
/// Conditions on `entry AS e` that statements are glued from by the compiler. An entry is live when
/// an even number of reversals stands above it (schema.cpp).

/// ?1 the last day that had happened, ?2 the last day of recording. The plus keeps SQLite from
/// starting at the index of days, which nearly every entry satisfies.
#define SHEARPIN_SQL_LIVE                       \
  "+e.happened <= ?1 AND +e.recorded <= ?2 AND" \
  " (SELECT count(*) FROM entry AS r WHERE r.root = e.id AND r.recorded <= ?2) % 2 = 0"

/// ?1 an entry whose state is taken as the opposite of what it is (0: none), to ask what taking it
/// back would leave.
#define SHEARPIN_SQL_LIVE_BUT \
  "((SELECT count(*) FROM entry AS r WHERE r.root = e.id) + (e.id = ?1)) % 2 = 0"
