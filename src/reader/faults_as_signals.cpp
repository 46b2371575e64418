// Only in builds with sanitizers: a fault inside a parsing library ends the reading process by its
// signal, as it does in every other build, which read_model tells in words. AddressSanitizer would
// take the signal and leave with a status instead, as it does (and shall) for what it finds itself.
// NOLINTBEGIN(bugprone-reserved-identifier): the sanitizer's own name for it
extern "C" const char* __asan_default_options();
extern "C" __attribute__((visibility("default"), used, no_sanitize_address)) const char*
__asan_default_options() {
  return "handle_segv=0:handle_sigbus=0:handle_sigfpe=0:handle_abort=0:handle_sigill=0";
}
// NOLINTEND(bugprone-reserved-identifier)
