#pragma once
/// A file that appears whole or not at all.

#include <filesystem>
#include <string_view>

namespace shearpin {

/// An empty file beside its target, under a name that nobody can guess and that was free (O_EXCL).
/// It takes the target's name once it is whole; until then, and on any failure, the target is as it
/// was. Throws std::filesystem::filesystem_error with the path it could not use.
class NewFile {
 public:
  enum class For { owner, everybody };  ///< who may read it, less what the umask takes away

  /// The target's folder must exist. A target that is a symlink is not followed: name its target.
  NewFile(const std::filesystem::path& target, For readers);
  /// Removes the file unless it was put in place.
  ~NewFile();
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;

  /// Where to write; another program (SQLite) may open it by this name.
  const std::filesystem::path& path() const { return path_; }

  /// Appends.
  void write(std::string_view bytes);

  /// Syncs it and gives it the target's name, in place of what had that name and with its
  /// permissions; then syncs the folder.
  void replace_target();
  /// The same where the name is free; false, and nothing done, where it is taken meanwhile.
  [[nodiscard]] bool put_at_target();

 private:
  void sync();
  void done();

  std::filesystem::path target_, path_;
  int handle_ = -1;
  bool placed_ = false;
};

/// Makes new names in a folder outlast a power cut; where the system cannot, nothing happens.
void sync_folder(const std::filesystem::path& folder);

}  // namespace shearpin
