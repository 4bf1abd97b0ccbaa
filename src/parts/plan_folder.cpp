#include "eaveshed/parts/plan_folder.hpp"

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

// As wide as the parts of a state or a country need, so that names sort by number.
std::string number_text(std::uint64_t part) {
    return fmt::format("{:06}", part);
}

}  // namespace

fs::path slice_path(const fs::path& folder, std::uint64_t part) {
    return folder / "parts" / (number_text(part) + ".plan");
}

fs::path rows_folder(const fs::path& folder) {
    return folder / "rows";
}

fs::path rows_path(const fs::path& folder, std::uint64_t part) {
    return rows_folder(folder) / (number_text(part) + ".rows");
}

std::string draft_prefix(std::uint64_t part) {
    return number_text(part) + ".draft-";
}

PlanInParts plan_in_parts(const fs::path& folder) {
    std::optional<Manifest> manifest = read_manifest(folder);
    if (!manifest || !manifest->plan) {
        throw input_error(printable(folder.string()), "no plan in parts", "a folder that `eaveshed split` made",
                          "check the path, or run eaveshed split PROJECT.toml --parts N -o DIR to its end");
    }
    return {folder, std::move(*manifest)};
}

std::vector<std::uint64_t> missing_parts(const PlanInParts& plan) {
    std::vector<std::uint64_t> missing;
    for (std::uint64_t part = 1; part <= plan.facts().parts.size(); ++part) {
        std::error_code fault;
        if (!fs::exists(rows_path(plan.folder, part), fault)) {
            missing.push_back(part);
        }
    }
    return missing;
}

std::string ranges_text(const std::vector<std::uint64_t>& ascending) {
    std::vector<std::string> ranges;
    for (std::size_t begin = 0, end = 0; begin < ascending.size(); begin = end) {
        for (end = begin + 1; end < ascending.size() && ascending[end] == ascending[end - 1] + 1;) {
            ++end;
        }
        ranges.push_back(end - begin == 1 ? fmt::format("{}", ascending[begin])
                                          : fmt::format("{}-{}", ascending[begin], ascending[end - 1]));
    }
    return listed(ranges, 12);
}

}  // namespace eaveshed
