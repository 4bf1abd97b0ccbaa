// The streams of a project, read or derived.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/project/project.hpp"

namespace eaveshed {

class GroundToLead;

// What is as large as the ground that water is led over lies in files under `scratch`, beyond some MiB; without a
// folder in memory.
struct CreekOptions {
    std::filesystem::path scratch{};
};

// Reads the lines that are given, with what is odd among them told by their ids; or derives them. Lines without length
// and those that cannot be brought to the terrain's CRS are told and left out. More cells than may be led over are an
// input error before any is read.
[[nodiscard]] Creeks make_creeks(const Project& project, const OpenInputs& inputs, const CreekOptions& options,
                                 Findings& findings, Progress& progress);

// The same in two steps, for a run that decodes the elevations anyway: make_reaches promises the ways to given lines;
// whatever block of the elevations is decoded while a WaterLeading lives is averaged then, and finish() reads what
// nobody decoded. Derived reaches are led to at once. The creeks and the open inputs outlive it.
[[nodiscard]] Creeks make_reaches(const Project& project, const OpenInputs& inputs, const CreekOptions& options,
                                  Findings& findings, Progress& progress);
class WaterLeading {
public:
    WaterLeading(const Project& project, const OpenInputs& inputs, const CreekOptions& options, Creeks& creeks);
    ~WaterLeading();
    WaterLeading(const WaterLeading&) = delete;
    WaterLeading& operator=(const WaterLeading&) = delete;

    // Once, when no worker reads any more. Nothing happens where no ways were promised.
    void finish(Findings& findings, Progress& progress);

private:
    Creeks& m_creeks;
    std::unique_ptr<GroundToLead> m_ground;  // null where no ways were promised
};

// How many cells water is led over, and what that takes while it works.
struct LeadingSize {
    std::uint64_t cells = 0;
    std::uint64_t bytes = 0;         // of `scratch`
    std::uint64_t stream_bytes = 0;  // of memory: what derived reaches may take, roughly; given ones: Creeks::bytes
};
// None where no streams are asked for, or offers enter at the nearest reach.
[[nodiscard]] std::optional<LeadingSize> leading_size(const Project& project, const Inputs& inputs);

// The same told without leading water over the ground, for a look at the inputs: derived streams stay empty.
[[nodiscard]] Creeks look_at_creeks(const Project& project, const OpenInputs& inputs, Findings& findings);

}  // namespace eaveshed
