// Debian's unwinder is compiled for glibc and calls one function that musl does not have.
#include <stdarg.h>
#include <stdio.h>

int __fprintf_chk(FILE *file, int flag, const char *format, ...) {
    va_list arguments;
    (void)flag;
    va_start(arguments, format);
    int written = vfprintf(file, format, arguments);
    va_end(arguments);
    return written;
}
