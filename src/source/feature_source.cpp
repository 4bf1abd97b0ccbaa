#include "eaveshed/source/feature_source.hpp"

#include "eaveshed/core/units.hpp"

namespace eaveshed {

bool has_id(const Feature& feature, std::size_t place) {
    const auto& text = feature.values.at(place);
    return text && text->find_first_not_of(" \t\r\n") != std::string::npos;
}

std::string id_of(const Feature& feature, std::size_t place) {
    return has_id(feature, place) ? *feature.values.at(place) : std::to_string(feature.fid);
}

std::optional<double> number_from_text(const std::optional<std::string>& text) {
    return text ? number_in(*text) : std::nullopt;
}

}  // namespace eaveshed
