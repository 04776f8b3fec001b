/* The least a program can do that logs one thing durably: open, one INSERT, close, with the journal
 * and the synchronisation of the ledger. Compared with `shearpin fail`.
 *   bench_bare_insert FILE            one insert
 *   bench_bare_insert FILE fill N     makes the table and N rows in one transaction */
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char* const kTable =
    "CREATE TABLE entry (id INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE, written TEXT NOT NULL,"
    " recorded TEXT NOT NULL, happened TEXT NOT NULL, kind TEXT NOT NULL, who TEXT NOT NULL,"
    " note TEXT NOT NULL, batch TEXT NOT NULL) STRICT;"
    "CREATE INDEX entry_happened ON entry (happened)";
static const char* const kInsert =
    "INSERT INTO entry (uuid, written, recorded, happened, kind, who, note, batch) VALUES"
    " (lower(hex(randomblob(18))), '2026-05-25T18:03:07.123Z', '2026-05-25', '2026-05-25', 'fail',"
    " '', 'a fuse, its holder browned', '')";

static void check(int code, sqlite3* database, const char* what) {
  if (code != SQLITE_OK && code != SQLITE_DONE && code != SQLITE_ROW) {
    fprintf(stderr, "%s: %s\n", what, sqlite3_errmsg(database));
    exit(1);
  }
}

static void run(sqlite3* database, const char* sql) {
  check(sqlite3_exec(database, sql, NULL, NULL, NULL), database, sql);
}

static void insert(sqlite3* database, long rows) {
  sqlite3_stmt* statement = NULL;
  check(sqlite3_prepare_v2(database, kInsert, -1, &statement, NULL), database, "prepare");
  for (long i = 0; i < rows; ++i) {
    check(sqlite3_step(statement), database, "insert");
    check(sqlite3_reset(statement), database, "insert");
  }
  check(sqlite3_finalize(statement), database, "finalize");
}

int main(int argc, char** argv) {
  sqlite3* database = NULL;
  if (argc != 2 && !(argc == 4 && strcmp(argv[2], "fill") == 0)) {
    fprintf(stderr, "bench_bare_insert FILE [fill N]\n");
    return 2;
  }
  check(sqlite3_open(argv[1], &database), database, argv[1]);
  run(database, "PRAGMA journal_mode = TRUNCATE");
  run(database, "PRAGMA synchronous = FULL");
  if (argc == 4) {
    run(database, kTable);
    run(database, "BEGIN");
    insert(database, strtol(argv[3], NULL, 10));
    run(database, "COMMIT");
  } else {
    insert(database, 1);
  }
  check(sqlite3_close(database), database, "close");
  return 0;
}
