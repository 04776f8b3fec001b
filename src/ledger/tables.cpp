#include "ledger/tables.hpp"

#include "ledger/sql_live.hpp"

namespace shearpin::ledger {

std::string Table::spelt(const char* expression, std::string_view prefix) const {
  std::string text;
  for (const char* at = expression; *at != '\0'; ++at) {
    if (*at != '?') {
      text += *at;
      continue;
    }
    text.append(prefix).append(names_[static_cast<std::size_t>(*++at - '1')]);
  }
  return text;
}

void Table::settle() {
  std::string columns, places, x_columns;
  for (std::size_t i = 1; i < names_.size(); ++i) {
    columns += std::string(", ") + names_[i];
    x_columns += std::string(", x.") + names_[i];
    places += fmt::format(", ?{}", i + 1);
  }
  const char* name = shape_.name;
  range_ = fmt::format("SELECT entry, id{} FROM {} WHERE entry BETWEEN ?1 AND ?2 ORDER BY id",
                       columns, name);
  live_ = fmt::format(
      "SELECT x.entry, x.id, e.happened{} FROM {} AS x CROSS JOIN entry AS e"
      " ON e.id = x.entry WHERE " SHEARPIN_SQL_LIVE " AND ",
      x_columns, name);
  one_ = fmt::format("SELECT {} FROM {} WHERE id = ?1", columns.substr(2), name);
  for (const Derived& each : shape_.derived) {
    columns += std::string(", ") + each.name;
    places += std::string(", ") + each.value;
    strayed_.emplace_back(each.strayed,
                          fmt::format("SELECT x.id FROM {} AS x WHERE x.{} IS NOT {} ORDER BY x.id",
                                      name, each.name, spelt(each.value, "x.")));
  }
  insert_ = fmt::format("INSERT INTO {} (entry{}) VALUES (?1{})", name, columns, places);
}

std::string Table::schema() const {
  const char* name = shape_.name;
  std::string body = "  id INTEGER PRIMARY KEY,\n  entry INTEGER NOT NULL REFERENCES entry (id)";
  for (const std::string& column : declared()) body += ",\n  " + column;
  std::string strayed;
  for (const Derived& each : shape_.derived) {
    body += fmt::format(",\n  {} {}", each.name, each.declared);
    strayed += fmt::format("\n  OR NEW.{} IS NOT {}", each.name, spelt(each.value, "NEW."));
  }
  if (*shape_.rules != '\0') body += std::string(",\n  ") + shape_.rules;
  std::string text = fmt::format("CREATE TABLE {} (\n{}\n) STRICT;\n", name, body);
  text += fmt::format("CREATE INDEX {0}_entry ON {0} (entry);\n", name);
  for (const std::string_view index : shape_.indexes) {
    text += fmt::format("CREATE INDEX {0}_{1} ON {0} {2};\n", name,
                        index.substr(1, index.find_first_of(",)") - 1), index);
  }
  // INSERT OR REPLACE removes rows without a DELETE, so a taken number is refused too.
  return text + fmt::format(R"sql(CREATE TRIGGER {0}_new BEFORE INSERT ON {0}
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM {0} WHERE id = NEW.id){1}
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER {0}_kept BEFORE UPDATE ON {0}
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER {0}_stays BEFORE DELETE ON {0}
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
)sql",
                            name, strayed);
}

}  // namespace shearpin::ledger
