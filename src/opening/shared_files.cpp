#include "shared_files.hpp"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "eaveshed/network/address.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

struct Use {
    const Setting* input = nullptr;
    std::string name;
    std::string where;
    std::string file;
    std::string layer;  // of a vector file
};

// Of tables, which have no place.
std::vector<Use> uses_of_tables(const Inputs& inputs) {
    std::vector<Use> uses;
    const auto add = [&uses](std::string_view name, const VectorInfo& info) {
        uses.push_back({&input_setting(name), std::string(name), info.where, info.file, info.layer});
    };
    if (inputs.overrides) {
        add("overrides.source", inputs.overrides->info);
    }
    if (inputs.calls) {
        add("contacts.source", inputs.calls->info);
    }
    return uses;
}

std::vector<Use> uses_of(const Inputs& inputs) {
    std::vector<Use> uses;
    for (const Setting* const input : input_settings()) {
        const auto& layers = inputs.layers_of(name_of(*input));
        for (const Layer& layer : layers) {
            uses.push_back({input, name_of(*input, layer.item), layer.info.where, layer.info.file, layer.info.layer});
        }
        if (!layers.empty()) {
            continue;
        }
        for (const InputPlace& place : places_of(*input, inputs)) {
            for (const std::string& file : place.files) {
                uses.push_back({input, name_of(*input, place.item), place.where, file, ""});
            }
        }
    }
    for (Use& use : uses_of_tables(inputs)) {
        uses.push_back(std::move(use));
    }
    return uses;
}

bool is_exclusion(const Use& use) {
    return use.input->section == "exclusions";
}

bool is_climate(const Use& use) {
    const InputKind kind = use.input->role->kind;
    return kind == InputKind::rain || kind == InputKind::et0 || kind == InputKind::temperature;
}

// What holds one field alone, whereas a netCDF file or a table of a station holds several.
bool holds_one_field(const std::string& file) {
    constexpr std::array<std::string_view, 4> kEndings{".tif", ".tiff", ".asc", ".img"};
    return std::ranges::find(kEndings, fs::path(file).extension().string()) != kEndings.end();
}

bool may_share(const Use& a, const Use& b) {
    if (a.input == b.input && !is_exclusion(a)) {
        return true;  // the pieces of one input
    }
    if (is_exclusion(a) != is_exclusion(b)) {
        return a.input->section != "parcels" && b.input->section != "parcels";
    }
    return is_climate(a) && is_climate(b) && !holds_one_field(a.file);
}

// Of a file, whatever its path, and of a vector file the layer of it; none of a file that is not there.
using Identity = std::tuple<dev_t, ino_t, std::string, std::string>;

std::optional<Identity> identity_of(const Use& use) {
    if (is_address(use.file)) {
        return Identity{0, 0, use.file, use.layer};
    }
    struct stat found {};
    return stat(use.file.c_str(), &found) == 0 ? std::optional(Identity{found.st_dev, found.st_ino, "", use.layer})
                                               : std::nullopt;
}

}  // namespace

void check_shared_files(const Inputs& inputs, Findings& findings) {
    const std::vector<Use> uses = uses_of(inputs);
    std::map<Identity, std::vector<const Use*>> seen;
    for (const Use& later : uses) {
        const auto identity = identity_of(later);
        if (!identity) {
            continue;
        }
        std::vector<const Use*>& same = seen[*identity];
        const auto earlier = std::ranges::find_if(same, [&](const Use* const use) { return !may_share(*use, later); });
        if (earlier != same.end()) {
            findings.error({later.where,
                            fmt::format("the same {} as {}", later.layer.empty() ? "file" : "layer", (*earlier)->name),
                            "one of its own for each input",
                            later.layer.empty()
                                ? "name the file that is meant"
                                : "name the file that is meant, or with 'layer' the layer of this one"});
        }
        same.push_back(&later);
    }
}

}  // namespace eaveshed
