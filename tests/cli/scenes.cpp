#include "scenes.hpp"

#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <fstream>
#include <functional>
#include <sstream>

namespace shearpin::test {
namespace {

namespace fs = std::filesystem;

std::vector<fs::path> demo_files() {
  std::vector<fs::path> files;
  for (const auto& file : fs::directory_iterator(std::string(SHEARPIN_SOURCE_DIR) + "/data/demo")) {
    if (file.path().extension() == ".csv") {
      files.push_back(file.path());
    }
  }
  std::sort(files.begin(), files.end());
  return files;
}

// Puts the ledger of a scene into the box: a copy of one that this very program made from these
// very files within the hour, else `make`s it. Most cases begin with the same twenty commands, and
// each is a process of its own. What `make` gave, the same from a copy.
std::string scene(const Sandbox& box, const std::string& name,
                  const std::function<std::string()>& make) {
  const fs::path scenes = fs::path(SHEARPIN_BINARY).parent_path() / "scenes";
  auto sources = demo_files();
  sources.emplace_back(SHEARPIN_BINARY);
  std::error_code none;
  const fs::path kept = scenes / fs::read_symlink(scenes / name, none);
  const auto made = fs::last_write_time(kept / "said.txt", none);
  const bool good = !none && fs::file_time_type::clock::now() - made < std::chrono::hours(1) &&
                    std::all_of(sources.begin(), sources.end(), [&](const fs::path& source) {
                      return fs::last_write_time(source) < made;
                    });
  if (good) {
    fs::create_directories(box.ledger().parent_path());
    fs::copy_file(kept / "ledger.db", box.ledger());
    return read_file(kept / "said.txt");
  }
  std::string said = make();
  // Made aside, then named by a link: cases run beside each other.
  const std::string fresh = name + '-' + std::to_string(::getpid());
  fs::remove_all(scenes / fresh);
  fs::create_directories(scenes / fresh);
  fs::copy_file(box.ledger(), scenes / fresh / "ledger.db");
  std::ofstream(scenes / fresh / "said.txt") << said;
  const fs::path link = scenes / (fresh + ".link");
  fs::remove(link);
  fs::create_symlink(fresh, link);
  fs::rename(link, scenes / name);
  return said;
}

void play_camper(const Sandbox& box) {
  for (
      const char* line : {
          "init --rig camper --name \"Our camper\" --on 2025-12-01",
          "supplier add counter --how walk-in --name \"Farm counter\" --on 2025-12-01",
          "supplier add post --how parcel --name \"Axle mail order\" --on 2025-12-01",
          "bin add locker --name \"Left locker\" --on 2025-12-01",
          "bin add drawer --name \"Kitchen drawer\" --on 2025-12-01",
          "bin add shed --ashore --name \"Shed shelf\" --on 2025-12-01",
          "part add fuse-15 --class blade-fuse-mid --name \"Blade fuse 15 A\" --rating 15A --price "
          "0.40 --mass 2g --pack 5 --supplier counter --home-bin locker --on 2025-12-01",
          "part add fuse-10 --class blade-fuse-mid --name \"Blade fuse 10 A\" --rating 10A --price "
          "0.40 --on 2025-12-01",
          "part add belt --class drive-belt --name \"Engine belt\" --price 38 --mass "
          "400g --supplier post --on 2025-12-01",
          "meter add km --rig camper --unit km --usual 60/day --on 2025-12-01",
          "position add fridge-fuse --part fuse-15 --severity uninhabitable --workaround \"ice "
          "box\" --name \"Fridge fuse\" --also \"cold box fuse\" --on 2025-12-01",
          "position add lamps --part fuse-15 --units 3 --name \"Cabin lamps\" --on 2025-12-01",
          "position add fan-belt --part belt --meter km --on 2025-12-01",
          "meter read km 50000 --on 2026-01-01",
          "fit fridge-fuse --on 2026-01-01",
          "fit lamps --on 2026-01-01",
          "fit fan-belt --on 2026-01-01 --age 30000",
          "receive fuse-15 5 --into locker --on 2026-02-01 --cost 0.40 --batch A1",
          "receive fuse-15 10 --into shed --on 2026-02-02 --total 4.00 --batch A2",
          "meter read km 62000 --on 2026-07-01",
      }) {
    box.ok(line);
  }
}

std::string play_demo(const Sandbox& box) {
  box.ok("init --on 2022-06-10");
  std::vector<std::string> words{"import"};
  for (const auto& file : demo_files()) {
    words.push_back(file.string());
  }
  const Ran ran = box.run(words);
  INFO(ran.out << ran.err);
  REQUIRE(ran.code == 0);
  REQUIRE(ran.err.empty());
  return ran.out;
}

}  // namespace

void make_camper(const Sandbox& box) {
  scene(box, "camper", [&] {
    play_camper(box);
    return std::string{};
  });
}

std::string make_demo(const Sandbox& box) {
  return scene(box, "demo", [&] { return play_demo(box); });
}

long long book(const Sandbox& box, const std::string& part, const std::string& bin) {
  std::istringstream lines(box.ok("export stock"));
  std::string line;
  long long pieces = 0;
  while (std::getline(lines, line)) {
    std::vector<std::string> cells;
    std::istringstream row(line);
    for (std::string cell; std::getline(row, cell, ',');) {
      cells.push_back(cell);
    }
    if (cells.at(1) == part && (bin.empty() || cells.at(2) == bin)) {
      pieces += std::stoll(cells.at(3));
    }
  }
  return pieces;
}

std::string state_of(const Sandbox& box) {
  std::string text;
  box.ok("export --into state");
  std::vector<std::filesystem::path> files;
  for (const auto& file : std::filesystem::directory_iterator(box.path("state"))) {
    files.push_back(file.path());
  }
  std::sort(files.begin(), files.end());
  for (const auto& file : files) {
    text += read_file(file);
  }
  std::filesystem::remove_all(box.path("state"));
  text += box.ok("now --format json");
  text += box.ok("policy show --format json");
  text += box.ok("reorder --format json");
  return text;
}

long long newest_entry(const Sandbox& box) {
  return box.json("journal --last 1").at("entries").at(0).at("entry").get<long long>();
}

}  // namespace shearpin::test
