// Tables in: all or nothing, every refusal with line, column, value and rule; spreadsheet habits.

#include <catch2/catch.hpp>
#include <sstream>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("A line that cannot be taken is named with file, line, column, value and rule") {
  const Sandbox box;
  make_camper(box);
  box.write("parts.csv",
            "key,name,class,price\n"
            "hose,Hose,water-pump-12v,4.50\n"
            "Bad Key,Clamp,,1\n"
            "clamp,Clamp,,cheap\n"
            "tape,Tape,no-such-class,3\n");
  const std::string told = box.refused("import parts.csv", 3, {"parts.csv"});
  CHECK(holds(told, "line 3"));
  CHECK(holds(told, "Bad Key"));
  CHECK(holds(told, "line 4"));
  CHECK(holds(told, "column price"));
  CHECK(holds(told, "cheap"));
  CHECK(holds(told, "line 5"));
  CHECK(holds(told, "no-such-class"));
  CHECK_FALSE(holds(box.ok("part list"), "hose"));
  // A dry run says the same, and ends the same.
  const Ran dry = box("import parts.csv --dry-run");
  CHECK(dry.code == 3);
  CHECK(holds(dry.err, "line 4"));
}

TEST_CASE("Several files are taken together or not at all") {
  const Sandbox box;
  make_camper(box);
  box.write("parts.csv", "key,name\nhose,Hose\n");
  box.write("stock.csv", "date,part,bin,quantity\n2026-03-01,hose,locker,0\n");
  box.refused("import parts.csv stock.csv", 3, {"stock.csv", "line 2", "0"});
  box.write("stock.csv", "date,part,bin,quantity\n2026-03-01,hose,locker,2\n");
  // One file may need what another holds, in whatever order they are named.
  CHECK(holds(box.ok("import stock.csv parts.csv --dry-run"), "Would take 2 rows of 2 files"));
  CHECK_FALSE(holds(box.ok("part list"), "hose"));
  CHECK(holds(box.ok("import stock.csv parts.csv"), "Took in 2 rows of 2 files"));
  CHECK(book(box, "hose", "locker") == 2);
}

TEST_CASE("Spreadsheet habits survive") {
  const Sandbox box;
  make_camper(box);
  SECTION("a byte-order mark, CRLF, quoted commas and doubled quotes, blank lines") {
    box.write("parts.csv",
              "\xEF\xBB\xBFKey,Name,Price,Mass (g)\r\n"
              "\r\n"
              "hose,\"Hose, 6\"\" long\",4.50,120\r\n"
              ",,,\r\n"
              "clamp,Clamp,0.80,15\r\n"
              "\r\n");
    const Ran ran = box("import parts.csv");
    INFO(ran.err);
    REQUIRE(ran.code == 0);
    CHECK(ran.err.empty());
    const Json hose = box.json("part show hose");
    CHECK(hose.at("name") == "Hose, 6\" long");
    CHECK(hose.at("price") == "4.50");
    CHECK(hose.at("mass") == "120g");
    CHECK(box.json("part show clamp").at("price") == "0.80");
  }
  SECTION("semicolons with decimal commas") {
    box.write("parts.csv", "key;name;price;mass\nhose;Hose, long;1.250,50;0,5 kg\n");
    box.ok("import parts.csv");
    const Json hose = box.json("part show hose");
    CHECK(hose.at("name") == "Hose, long");
    CHECK(hose.at("price") == "1250.50");
    CHECK(hose.at("mass") == "500g");
  }
  SECTION("a number that could be either is refused") {
    box.write("readings.csv", "date;meter;value\n2026-08-01;km;62.500\n");
    box.refused("import readings.csv", 3, {"62.500", "line 2"});
  }
  SECTION("columns that mean nothing are named and left") {
    box.write("parts.csv", "key,name,colour\nhose,Hose,red\n");
    const Ran ran = box("import parts.csv");
    CHECK(ran.code == 0);
    CHECK(holds(ran.err, "colour"));
    CHECK(holds(box.ok("part list"), "hose"));
  }
  SECTION("old Mac line ends and no newline at the end") {
    box.write("parts.csv", "key,name\rhose,Hose\rclamp,Clamp");
    box.ok("import parts.csv");
    CHECK(holds(box.ok("part list"), "clamp"));
  }
  SECTION("blanks around cells, capitals in headings") {
    box.write("parts.csv", "KEY , Name, Shelf Life Years\n hose , Hose ,10\n");
    box.ok("import parts.csv");
    CHECK(box.json("part show hose").at("name") == "Hose");
  }
}

TEST_CASE("Files that cannot be read are refused with a reason") {
  const Sandbox box;
  make_camper(box);
  box.refused("import nowhere.csv", 3, {"nowhere.csv"});
  box.write("strange.csv", "key\nx\n");
  box.refused("import strange.csv", 3, {"strange.csv", "--kind"});
  box.write("parts.csv", "");
  box.refused("import parts.csv", 3, {"parts.csv"});
  box.write("parts.csv", std::string("key,name\nhose,Ho\0se\n", 20));
  box.refused("import parts.csv", 3, {"parts.csv"});
  box.write("parts.csv", "key,name\nhose,H\xF6se\n");
  box.refused("import parts.csv", 3, {"UTF-8"});
  box.write("parts.csv", "name,price\nHose,3\n");
  box.refused("import parts.csv", 3, {"key"});
  box.write("parts.csv", "key,key\nhose,clamp\n");
  box.refused("import parts.csv", 3, {"key"});
  box.write("parts.csv", "key,name\nhose,\"Hose\n");
  box.refused("import parts.csv", 3, {"quot"});
  std::filesystem::create_directory(box.path("bins.csv"));
  box.refused("import bins.csv", 3, {"bins.csv"});
  box.refused("import", 2, {"FILE"});
  box.refused("import parts.csv --kind potatoes", 3, {"potatoes"});
}

TEST_CASE("A key that exists is changed where the row is filled, and left where it is empty") {
  const Sandbox box;
  make_camper(box);
  box.write("parts.csv", "key,name,price\nbelt,,41\n");
  box.ok("import parts.csv");
  CHECK(box.json("part show belt").at("price") == "41.00");
  CHECK(box.json("part show belt").at("name") == "Engine belt");
}

TEST_CASE("What is dated in the future is refused, and what takes more than there is") {
  const Sandbox box;
  make_camper(box);
  box.write("history.csv", "date,kind,position,part,quantity\n2999-01-01,failure,lamps,,\n");
  box.refused("import history.csv", 3, {"2999-01-01", "line 2"});
  box.write(
      "history.csv",
      "date,kind,position,part,quantity\n2026-03-01,use,,fuse-15,4\n2026-03-02,use,,fuse-15,4\n");
  box.refused("import history.csv", 3, {"line 3"});
  box.write("history.csv", "date,kind,position\n2026-03-01,explosion,lamps\n");
  box.refused("import history.csv", 3, {"explosion", "line 2"});
}

TEST_CASE("A history taken in again is refused, with what is in the way") {
  const Sandbox box;
  make_camper(box);
  box.write("history.csv",
            "date,kind,position,unit,cause,result\n2026-03-01,failure,lamps,1,,\n"
            "2026-03-05,failure,lamps,2,,\n2026-03-07,test,lamps,3,,pass\n");
  box.ok("import history.csv");
  const std::string told =
      box.refused("import history.csv", 3, {"looks like a file taken in before", "3 of its 3"});
  CHECK(holds(told, "shearpin undo import-"));
  // Most of its lines are there: it need not be the same file.
  box.write("history.csv",
            "unit,date,kind,position,cause,result\n1,2026-03-01,failure,lamps,,\n"
            "2,2026-03-05,failure,lamps,,\n3,2026-03-09,test,lamps,,pass\n");
  box.refused("import history.csv", 3, {"looks like", "2 of its 3"});
  box.write("history.csv", "date,kind,position,unit,result\n2026-03-09,test,lamps,3,pass\n");
  box.ok("import history.csv");
}

TEST_CASE("Stock taken in twice would count twice: only where --again says so") {
  const Sandbox box;
  make_camper(box);
  box.write("stock.csv", "date,part,bin,quantity\n2026-03-01,belt,locker,2\n");
  const std::string took = box.ok("import stock.csv");
  CHECK(book(box, "belt", "locker") == 2);
  box.refused("import stock.csv", 3, {"stock.csv looks like", "--again"});
  box.refused("import stock.csv --dry-run", 3, {"stock.csv looks like", "--again"});
  box.ok("import stock.csv --again");
  CHECK(book(box, "belt", "locker") == 4);
  // What was taken back may come again.
  box.ok("undo");
  box.ok(one_line(took.substr(took.find("undo import-"))));
  CHECK(book(box, "belt", "locker") == 0);
  box.ok("import stock.csv");
}

TEST_CASE("Stock that is set aside comes in set aside, as it went out") {
  const Sandbox box;
  make_camper(box);
  box.write("stock.csv",
            "date,part,bin,quantity,batch,quarantined\n2026-03-01,belt,locker,2,VB-07,yes\n"
            "2026-03-01,belt,locker,3,VB-08,no\n");
  box.ok("import stock.csv");
  std::string doubtful;
  std::string sound;
  std::istringstream lines(box.ok("export stock"));
  for (std::string line; std::getline(lines, line);) {
    doubtful += holds(line, "VB-07") ? line : "";
    sound += holds(line, "VB-08") ? line : "";
  }
  CHECK(holds(doubtful, ",yes"));
  CHECK(holds(sound, ",no"));
}

TEST_CASE("A unit that has ended is named, in a file and by a command") {
  const Sandbox box;
  make_demo(box);
  box.refused("fail l05/3 --on 2024-05-14 --with p25 --batch VB-07", 3, {"l05/3"});
  std::filesystem::copy_file(SHEARPIN_SOURCE_DIR "/data/demo/14-history.csv",
                             box.path("14-history.csv"));
  const std::string told =
      box.refused("import 14-history.csv", 3, {"14-history.csv line", "looks like"});
  CHECK(holds(told, "entry"));
}

TEST_CASE("Files of nonsense are refused at once, and shortly") {
  const Sandbox box;
  make_camper(box);
  constexpr std::size_t kMuch = 20'000'000;
  const std::string head = "date,kind,position\n";
  SECTION("a quote never closed") {
    box.write("history.csv", head + "2026-03-01,\"" + std::string(kMuch, 'x'));
    box.refused("import history.csv", 3, {"line 2", "quote"});
  }
  SECTION("a quote never closed, over many lines") {
    std::string text = head + "2026-03-01,\"failure,lamps\n";
    for (int i = 0; i < 500'000; ++i) text += "2026-03-02,failure,lamps\n";
    box.write("history.csv", text);
    box.refused("import history.csv", 3, {"line 2", "quote"});
  }
  SECTION("a line of commas") {
    box.write("history.csv", head + std::string(kMuch, ','));
    box.refused("import history.csv", 3, {"line 2", "1 MB"});
  }
  SECTION("a heading of commas") {
    box.write("history.csv", std::string(kMuch, ',') + "\n" + head);
    box.refused("import history.csv", 3, {"line 1", "1 MB"});
    box.write("history.csv", std::string(100'000, ',') + "date\n");
    box.refused("import history.csv", 3, {"line 1", "1,000 columns"});
  }
  SECTION("a long cell") {
    box.write("history.csv",
              "date,kind,position,note\n2026-03-01,failure,lamps," + std::string(5000, 'x') + "\n");
    box.refused("import history.csv", 3, {"line 2", "note", "4,000 bytes"});
  }
  SECTION("wrong lines by the thousand") {
    std::string text = head;
    for (int i = 0; i < 100'000; ++i) text += "someday,failure,lamps\n";
    box.write("history.csv", text);
    const std::string told = box.refused("import history.csv", 3, {"line 2", "someday", "more"});
    CHECK(holds(told, "the rest was not read"));
    CHECK(told.size() < 10'000);
  }
  SECTION("lines by the thousand that no position bears") {
    std::string text = head;
    for (int i = 0; i < 2'000; ++i) text += "2026-03-01,failure,nowhere\n";
    box.write("history.csv", text);
    CHECK(box.refused("import history.csv", 3, {"line 2", "nowhere", "1980 more"}).size() < 10'000);
  }
  SECTION("lists in lists") {
    box.write("deep.json",
              "{\"legs\": " + std::string(50'000, '[') + std::string(50'000, ']') + "}");
    box.refused("trip add june --file deep.json", 3, {"deep.json", "nested more than 20 deep"});
    box.write("deep.json", "{\"name\": \"[[[[[[[[[[[[[[[[[[[[[[[[[\\\"[[\", \"legs\": 1}");
    box.refused("trip add june --file deep.json", 3, {"legs"});
  }
}

TEST_CASE("An import that undoes its own line counts as if neither had been") {
  const Sandbox box;
  make_camper(box);
  box.write("readings.csv",
            "date,meter,value,id,undoes\n2026-08-01,km,630000,r1,\n2026-08-01,km,,,r1\n"
            "2026-08-01,km,63000,,\n");
  box.ok("import readings.csv");
  CHECK(holds(box.ok("meter show km"), "63000 on 2026-08-01"));
}
