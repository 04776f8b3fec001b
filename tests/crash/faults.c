/* Loaded before the C library (LD_PRELOAD) into the program under test: counts the steps that change
 * files and lets one of them be the last.
 *
 * A step is a write, truncate, sync, unlink or rename of a regular file. By variables of the
 * environment:
 *   FAULT_COUNT=FILE  writes the number of steps to FILE when the program ends
 *   FAULT_KILL=N      at step N a write is done by half, anything else not at all, then the program
 *                     is killed as by SIGKILL; past the last step: when it ends
 *   FAULT_LOSE=1      at the kill whatever was never synced is taken back, as when the power fails
 *   FAULT_SYNC=N      from step N on every sync fails
 *   FAULT_FULL=N      from step N on every write that would make a file longer finds the disk full
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { kMost = 65536 };

/* What a write or truncate replaced, kept until its file is synced. */
struct Change {
  dev_t device;
  ino_t inode;
  int fd; /* of our own, still good when the program has closed its own */
  off_t size;
  off_t offset;
  size_t length;
  char* bytes;
};

static struct Change changes[kMost];
static int changed;
static long steps;
static int busy; /* our own calls are not steps */

static long setting(const char* name) {
  const char* text = getenv(name);
  return text == NULL ? 0 : atol(text);
}

static int regular(int fd, struct stat* about) {
  return fstat(fd, about) == 0 && S_ISREG(about->st_mode);
}

static ssize_t real_pwrite(int fd, const void* data, size_t size, off_t offset) {
  static ssize_t (*next)(int, const void*, size_t, off_t);
  if (next == NULL) next = (ssize_t(*)(int, const void*, size_t, off_t))dlsym(RTLD_NEXT, "pwrite64");
  return next(fd, data, size, offset);
}

static int real_ftruncate(int fd, off_t size) {
  static int (*next)(int, off_t);
  if (next == NULL) next = (int (*)(int, off_t))dlsym(RTLD_NEXT, "ftruncate64");
  return next(fd, size);
}

/* Keeps what stands at [offset, offset + length), as far as the file reaches. */
static void remember(int fd, off_t offset, size_t length) {
  struct stat about;
  if (setting("FAULT_LOSE") == 0 || !regular(fd, &about)) return;
  if (changed == kMost) abort();
  struct Change* change = &changes[changed++];
  char path[64];
  snprintf(path, sizeof path, "/proc/self/fd/%d", fd);
  change->device = about.st_dev;
  change->inode = about.st_ino;
  change->fd = open(path, O_RDWR | O_CLOEXEC);
  change->size = about.st_size;
  change->offset = offset;
  change->bytes = malloc(length + 1);
  const ssize_t got = pread(change->fd, change->bytes, length, offset);
  change->length = got > 0 ? (size_t)got : 0;
}

static void forget(int fd) {
  struct stat about;
  int kept = 0;
  if (!regular(fd, &about)) return;
  for (int i = 0; i < changed; ++i) {
    if (changes[i].device == about.st_dev && changes[i].inode == about.st_ino) {
      close(changes[i].fd);
      free(changes[i].bytes);
    } else {
      changes[kept++] = changes[i];
    }
  }
  changed = kept;
}

static void end_here(void) {
  busy = 1;
  while (changed > 0) {
    const struct Change* change = &changes[--changed];
    if (change->length > 0) real_pwrite(change->fd, change->bytes, change->length, change->offset);
    real_ftruncate(change->fd, change->size);
  }
  kill(getpid(), SIGKILL);
  for (;;) pause();
}

/* True when this step is the last. */
static int step(void) {
  if (busy) return 0;
  ++steps;
  return setting("FAULT_KILL") == steps;
}

static int disk_full(int fd, off_t end) {
  struct stat about;
  const long from = setting("FAULT_FULL");
  return !busy && from > 0 && steps >= from && regular(fd, &about) && end > about.st_size;
}

static ssize_t write_at(int fd, const void* data, size_t size, off_t offset) {
  if (step()) {
    remember(fd, offset, size);
    real_pwrite(fd, data, size / 2, offset);
    end_here();
  }
  if (disk_full(fd, offset + (off_t)size)) {
    errno = ENOSPC;
    return -1;
  }
  remember(fd, offset, size);
  return real_pwrite(fd, data, size, offset);
}

ssize_t pwrite64(int fd, const void* data, size_t size, off_t offset) {
  struct stat about;
  return regular(fd, &about) ? write_at(fd, data, size, offset)
                             : real_pwrite(fd, data, size, offset);
}

ssize_t pwrite(int fd, const void* data, size_t size, off_t offset) {
  return pwrite64(fd, data, size, offset);
}

ssize_t write(int fd, const void* data, size_t size) {
  static ssize_t (*next)(int, const void*, size_t);
  if (next == NULL) next = (ssize_t(*)(int, const void*, size_t))dlsym(RTLD_NEXT, "write");
  struct stat about;
  if (busy || !regular(fd, &about)) return next(fd, data, size);
  const off_t offset = lseek(fd, 0, SEEK_CUR);
  const ssize_t done = write_at(fd, data, size, offset);
  if (done > 0) lseek(fd, offset + done, SEEK_SET);
  return done;
}

int ftruncate64(int fd, off_t size) {
  if (step()) end_here();
  struct stat about;
  if (regular(fd, &about)) {
    const size_t lost = about.st_size > size ? (size_t)(about.st_size - size) : 0;
    remember(fd, size, lost);
  }
  return real_ftruncate(fd, size);
}

int ftruncate(int fd, off_t size) { return ftruncate64(fd, size); }

static int synced(int fd, const char* name) {
  int (*next)(int) = (int (*)(int))dlsym(RTLD_NEXT, name);
  if (step()) end_here();
  if (!busy && setting("FAULT_SYNC") > 0 && setting("FAULT_SYNC") <= steps) {
    errno = EIO;
    return -1;
  }
  const int result = next(fd);
  if (result == 0) forget(fd);
  return result;
}

int fsync(int fd) { return synced(fd, "fsync"); }
int fdatasync(int fd) { return synced(fd, "fdatasync"); }

int unlink(const char* path) {
  int (*next)(const char*) = (int (*)(const char*))dlsym(RTLD_NEXT, "unlink");
  if (step()) end_here();
  return next(path);
}

int rename(const char* from, const char* to) {
  int (*next)(const char*, const char*) =
      (int (*)(const char*, const char*))dlsym(RTLD_NEXT, "rename");
  if (step()) end_here();
  return next(from, to);
}

int renameat2(int from_folder, const char* from, int to_folder, const char* to,
              unsigned int flags) {
  int (*next)(int, const char*, int, const char*, unsigned int) =
      (int (*)(int, const char*, int, const char*, unsigned int))dlsym(RTLD_NEXT, "renameat2");
  if (step()) end_here();
  return next(from_folder, from, to_folder, to, flags);
}

__attribute__((destructor)) static void at_end(void) {
  const char* file = getenv("FAULT_COUNT");
  busy = 1;
  if (file != NULL) {
    FILE* out = fopen(file, "w");
    if (out != NULL) {
      fprintf(out, "%ld\n", steps);
      fclose(out);
    }
  }
  if (setting("FAULT_KILL") > steps) end_here();
}
