/* A disk that keeps only what was flushed: loaded before the C library (LD_PRELOAD) by crates/rimefold/tests/pages/power.rs.
 * After each flush of a file of the diary a copy of it as it is then goes into the folder LOSE_TO, and what was taken away
 * goes from there when its folder is flushed; when the program has been
 * killed, those copies are what a machine that lost its power would find. Linux with glibc. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define NEXT(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

/* A flushed folder has lost for good what was taken away from it. */
static void forget(const char *to, const char *folder) {
    const char *ends[] = {"", "-wal", "-journal"};
    char name[2 * PATH_MAX];
    for (int i = 0; i < 3; i++) {
        snprintf(name, sizeof name, "%s/diary.sqlite%s", folder, ends[i]);
        if (!access(name, F_OK)) continue;
        snprintf(name, sizeof name, "%s/diary.sqlite%s", to, ends[i]);
        unlink(name);
    }
}

static void keep(int fd) {
    const char *to = getenv("LOSE_TO");
    char link[64], path[PATH_MAX], part[2 * PATH_MAX], kept[2 * PATH_MAX], some[65536];
    if (!to) return;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, sizeof path - 1);
    if (n <= 0) return;
    path[n] = 0;
    struct stat about;
    if (!fstat(fd, &about) && S_ISDIR(about.st_mode)) {
        forget(to, path);
        return;
    }
    const char *name = strrchr(path, '/');
    if (!name || strncmp(name, "/diary.sqlite", 13)) return;
    snprintf(kept, sizeof kept, "%s%s", to, name);
    snprintf(part, sizeof part, "%s%s.part", to, name);
    /* Not opened anew: closing it would give up the locks that the program holds on it. */
    int out = open(part, O_CREAT | O_TRUNC | O_WRONLY, 0600);
    off_t at = 0;
    while (out >= 0 && (n = pread(fd, some, sizeof some, at)) > 0) {
        if (write(out, some, n) != n) _exit(99);
        at += n;
    }
    if (out >= 0) close(out);
    rename(part, kept);
}

int fsync(int fd) {
    int done = NEXT(fsync)(fd);
    if (!done) keep(fd);
    return done;
}

int fdatasync(int fd) {
    int done = NEXT(fdatasync)(fd);
    if (!done) keep(fd);
    return done;
}
