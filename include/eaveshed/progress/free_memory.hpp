// Between two phases of a run.
#pragma once

#if __has_include(<malloc.h>)
#include <malloc.h>
#endif

namespace eaveshed {

// Gives memory that is free back to the system, so that what the next phase takes does not come on top of what the last
// one took: the allocator keeps it otherwise. Does nothing where the C library knows no such call.
inline void release_free_memory() {
#if defined(__GLIBC__)
    ::malloc_trim(0);
#endif
}

}  // namespace eaveshed
