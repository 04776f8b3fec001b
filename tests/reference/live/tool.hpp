#pragma once
/// Runs another program on a folder of problems and reads its answers.

#include <string>
#include <vector>

namespace live {

/// A folder below the system's temporary one, gone with the object.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// Whether the shell command ends well; what it says is thrown away.
bool runs(const std::string& command);

/// One line of answers.csv: the problem, what was found, at which age (0 where it has none).
struct Answer {
  std::string id;
  std::string what;
  double age;
  double value;
};

/// Runs `interpreter script folder` and reads folder/answers.csv (id,what,age,value, no heading).
/// Throws with what the program said when it fails.
std::vector<Answer> answers_of(const std::string& interpreter, const std::string& script,
                               const std::string& folder);

}  // namespace live
