// What the thread sanitizer leaves out, in every program that is built with it: programs that tests start have none of
// their environment.
extern "C" const char* __tsan_default_suppressions();
// GDAL takes its own locks now in one order, now in another.
extern "C" const char* __tsan_default_suppressions() {
    return "deadlock:libgdal.so\n";
}
