/* Preloaded by a process, sets the time of day that it reads off by as many seconds as the file
   FAKE_CLOCK says: eight characters, so that it can be changed while the process runs. What counts
   up only (waits, timeouts) goes on as it is. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/time.h>
#include <time.h>

static long offset(void) {
    static const char *shown;
    if (!shown) {
        const char *path = getenv("FAKE_CLOCK");
        int file = path ? open(path, O_RDONLY) : -1;
        void *mapped = file < 0 ? MAP_FAILED : mmap(NULL, 8, PROT_READ, MAP_SHARED, file, 0);
        shown = mapped == MAP_FAILED ? "       0" : mapped;
    }
    char text[9] = {0};
    memcpy(text, shown, 8);
    return atol(text);
}

int clock_gettime(clockid_t clock, struct timespec *now) {
    static int (*real)(clockid_t, struct timespec *);
    if (!real) real = dlsym(RTLD_NEXT, "clock_gettime");
    int failed = real(clock, now);
    if (!failed && (clock == CLOCK_REALTIME || clock == CLOCK_REALTIME_COARSE))
        now->tv_sec += offset();
    return failed;
}

int gettimeofday(struct timeval *restrict now, void *restrict zone) {
    struct timespec exact;
    (void)zone;
    clock_gettime(CLOCK_REALTIME, &exact);
    now->tv_sec = exact.tv_sec;
    now->tv_usec = exact.tv_nsec / 1000;
    return 0;
}

time_t time(time_t *kept) {
    struct timespec exact;
    clock_gettime(CLOCK_REALTIME, &exact);
    if (kept) *kept = exact.tv_sec;
    return exact.tv_sec;
}
