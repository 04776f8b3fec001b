#include "base/new_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <random>
#include <string>
#include <system_error>

namespace shearpin {
namespace {

namespace fs = std::filesystem;

constexpr int kTries = 100;
constexpr mode_t kOwner = 0600;
constexpr mode_t kEverybody = 0666;

[[noreturn]] void fail(const char* doing, const fs::path& path, int error = errno) {
  throw fs::filesystem_error(doing, path, std::error_code(error, std::generic_category()));
}

/// 16 hexadecimal digits.
std::string random_word() {
  static constexpr std::string_view kDigits = "0123456789abcdef";
  std::random_device source;
  std::string word;
  for (int i = 0; i < 16; ++i) {
    word += kDigits[source() % kDigits.size()];
  }
  return word;
}

fs::path folder_of(const fs::path& target) {
  const fs::path folder = target.parent_path();
  return folder.empty() ? fs::path(".") : folder;
}

}  // namespace

NewFile::NewFile(const fs::path& target, For readers) : target_(target) {
  for (int attempt = 0; handle_ < 0 && attempt < kTries; ++attempt) {
    // A name of its own: the target's, lengthened, might be longer than a name may be.
    path_ = folder_of(target) / ("." + random_word() + ".new");
    handle_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC,
                     readers == For::owner ? kOwner : kEverybody);
    if (handle_ < 0 && errno != EEXIST) {
      break;
    }
  }
  if (handle_ < 0) {
    fail("cannot make a file", target_);
  }
}

NewFile::~NewFile() {
  if (handle_ >= 0) {
    ::close(handle_);
  }
  if (!placed_) {
    ::unlink(path_.c_str());
  }
}

void NewFile::write(std::string_view bytes) {
  while (!bytes.empty()) {
    const auto written = ::write(handle_, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) {
      continue;
    }
    if (written < 0) {
      fail("cannot write", target_);
    }
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
}

void NewFile::sync() {
  if (::fsync(handle_) != 0) {
    fail("cannot write", target_);
  }
}

void NewFile::done() {
  placed_ = true;
  sync_folder(folder_of(target_));
}

void NewFile::replace_target() {
  struct stat old {};
  if (::stat(target_.c_str(), &old) == 0 && ::fchmod(handle_, old.st_mode & 07777) != 0) {
    fail("cannot keep the permissions", target_);
  }
  sync();
  if (::rename(path_.c_str(), target_.c_str()) != 0) {
    fail("cannot give the name", target_);
  }
  done();
}

bool NewFile::put_at_target() {
  sync();
  // Not every file system can rename without replacing, nor give a second name.
  int failed = ::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, target_.c_str(), RENAME_NOREPLACE);
  if (failed != 0 && (errno == EINVAL || errno == ENOSYS)) {
    failed = ::link(path_.c_str(), target_.c_str());
    if (failed == 0) {
      ::unlink(path_.c_str());
    } else if (errno == EPERM || errno == ENOSYS || errno == EOPNOTSUPP) {
      failed = ::access(target_.c_str(), F_OK) == 0 ? (errno = EEXIST, -1)
                                                    : ::rename(path_.c_str(), target_.c_str());
    }
  }
  if (failed != 0 && errno == EEXIST) {
    return false;
  }
  if (failed != 0) {
    fail("cannot give the name", target_);
  }
  done();
  return true;
}

void sync_folder(const fs::path& folder) {
  const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (handle < 0) {
    return;
  }
  (void)::fsync(handle);
  ::close(handle);
}

}  // namespace shearpin
