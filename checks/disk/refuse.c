/* A disk that refuses the Nth thing it is asked, and a machine whose memory is at its end at the Nth: loaded before the C
 * library (LD_PRELOAD) by crates/rimefold/tests/diary/disk.rs. After the refusal everything goes well again, unless
 * REFUSE_ON says that it stays so. REFUSE_AT counts writes, flushes, cuts, renames, links and new files; REFUSE_MEMORY_AT
 * counts what malloc is asked by SQLite's size of page (1 kB and more). Linux with glibc. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <sys/types.h>
#include <unistd.h>

extern void *__libc_malloc(size_t);

static long at = -1, memory_at = -1, asked, memory_asked;
static int on, with;

__attribute__((constructor)) static void begin(void) {
    const char *n = getenv("REFUSE_AT"), *m = getenv("REFUSE_MEMORY_AT");
    on = getenv("REFUSE_ON") != NULL;
    with = getenv("REFUSE_FULL") ? ENOSPC : EIO;
    memory_at = m ? atol(m) : -1;
    at = n ? atol(n) : -1;
}

/* Only files: a terminal or a pipe is no disk. */
static int refused(int fd) {
    if (at < 0) return 0;
    if (fd >= 0 && lseek(fd, 0, SEEK_CUR) < 0) return 0;
    long n = __sync_fetch_and_add(&asked, 1);
    if (n != at && !(on && n > at)) return 0;
    errno = with;
    return 1;
}

#define NEXT(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

ssize_t write(int fd, const void *b, size_t n) { return refused(fd) ? -1 : NEXT(write)(fd, b, n); }
ssize_t pwrite64(int fd, const void *b, size_t n, off64_t o) { return refused(fd) ? -1 : NEXT(pwrite64)(fd, b, n, o); }
ssize_t pwrite(int fd, const void *b, size_t n, off_t o) { return refused(fd) ? -1 : NEXT(pwrite)(fd, b, n, o); }
int fsync(int fd) { return refused(fd) ? -1 : NEXT(fsync)(fd); }
int fdatasync(int fd) { return refused(fd) ? -1 : NEXT(fdatasync)(fd); }
int ftruncate64(int fd, off64_t n) { return refused(fd) ? -1 : NEXT(ftruncate64)(fd, n); }
int ftruncate(int fd, off_t n) { return refused(fd) ? -1 : NEXT(ftruncate)(fd, n); }
int rename(const char *a, const char *b) { return refused(-1) ? -1 : NEXT(rename)(a, b); }
int link(const char *a, const char *b) { return refused(-1) ? -1 : NEXT(link)(a, b); }
int unlink(const char *a) { return refused(-1) ? -1 : NEXT(unlink)(a); }

void *malloc(size_t n) {
    if (memory_at >= 0 && n >= 1024 && __sync_fetch_and_add(&memory_asked, 1) == memory_at) {
        errno = ENOMEM;
        return NULL;
    }
    return __libc_malloc(n);
}
