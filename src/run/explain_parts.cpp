#include "explain_parts.hpp"

#include <algorithm>

#include "eaveshed/settings/table.hpp"

namespace eaveshed::run {

std::string from_setting(const Settings& settings, std::string_view section, std::string_view key) {
    const Setting* const setting = find_setting(section, key);
    if (setting == nullptr) {
        internal_error("an explanation names a setting that is not in the table");
    }
    const std::string name = fmt::format("{}.{}", section, key);
    if (value_text(*setting, settings) != default_text(*setting)) {
        return name + ", set by the project";
    }
    return setting->source.empty() ? name + ", default" : fmt::format("{}, default; {}", name, setting->source);
}

std::string from_field(const std::string& field, std::string_view layer) {
    return fmt::format("field {} of the {}", field, layer);
}

std::string_view month_name(int month) {
    constexpr std::array<std::string_view, 12> kNames{"January",   "February", "March",    "April",
                                                      "May",       "June",     "July",     "August",
                                                      "September", "October",  "November", "December"};
    return kNames.at(static_cast<std::size_t>(month - 1));
}

std::string from_field_or_measured(const std::string& field, std::string_view layer, const MeasuredValues& measured,
                                   Measured value) {
    return measured.has(value) ? std::string(kMeasured) : from_field(field, layer);
}

MeasuredValues measured_of_parcel(const ExplainedRoof& roof) {
    return roof.parcel ? roof.parcel->measured : MeasuredValues();
}

std::string months_text(const std::vector<int>& months) {
    const MonthSet set{months};
    const auto last = last_of_run(set);
    if (last && months.size() > 1) {
        const int first = (*last - static_cast<int>(months.size()) + 12) % 12 + 1;
        return fmt::format("{} to {}", month_name(first), month_name(*last));
    }
    std::string text;
    for (const int month : months) {
        text += text.empty() ? "" : ", ";
        text += month_name(month);
    }
    return text;
}

std::string storage_text(const StorageOption& option) {
    return option.tank.count == 1 ? fmt::format("one tank of {:.1f} m3", option.nominal_m3)
                                  : fmt::format("{} tanks of together {:.1f} m3", option.tank.count, option.nominal_m3);
}

}  // namespace eaveshed::run
