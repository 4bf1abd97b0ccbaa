// What a library that only says "it failed" keeps to itself: that the system refused, and not that a file is damaged.
#pragma once

#include <filesystem>

namespace eaveshed {

// Watches from its making on, on the thread that made it.
class Refusal {
public:
    Refusal();
    // Throws where the system said meanwhile that a disk or a share cannot be read (a working error), or that it has no
    // room, memory or open files to give (a passing one). To be asked only when something failed: what was refused and
    // then worked counts too.
    void rethrow(const std::filesystem::path& file) const;
};

// Reads a file to its end, and throws as above where the system refuses; what is no plain file is left alone. For a
// library that met with a refusal earlier and has forgotten it.
void require_readable(const std::filesystem::path& file);

}  // namespace eaveshed
