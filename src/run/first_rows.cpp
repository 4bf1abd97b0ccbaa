#include "first_rows.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kRows = 2;
constexpr std::size_t kLetters = 40;  // of a value

// What says who owns a property is nobody's business here.
bool is_personal(const Setting& setting) {
    return setting.key == "owner_key";
}

// The settings of the section that name a field.
std::vector<const Setting*> fields_shown(const Setting& input, const Settings& settings, std::size_t item) {
    std::vector<const Setting*> shown;
    for (const Setting& setting : settings_table()) {
        if (setting.section == input.section && names_field(setting) && !is_personal(setting) &&
            !named_field(setting, settings, item).empty()) {
            shown.push_back(&setting);
        }
    }
    return shown;
}

}  // namespace

std::vector<ShownRow> first_rows(const Setting& input, const Settings& settings, const Layer& layer) {
    const std::vector<const Setting*> shown = fields_shown(input, settings, layer.item);
    std::vector<std::string> names;
    names.reserve(shown.size());
    for (const Setting* const setting : shown) {
        names.push_back(named_field(*setting, settings, layer.item));
    }
    std::vector<ShownRow> rows;
    try {
        FeatureSource& source = layer.features(names);
        for (Feature feature; !shown.empty() && rows.size() < kRows && source.next(feature);) {
            ShownRow& row = rows.emplace_back();
            for (std::size_t i = 0; i < shown.size(); ++i) {
                row.emplace_back(shown[i]->key, printable(feature.values.at(i).value_or(""), kLetters));
            }
        }
    } catch (const Error& error) {
        if (error.fault() == Fault::internal) {
            throw;
        }
    }
    return rows;
}

}  // namespace eaveshed
