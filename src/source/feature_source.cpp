#include "eaveshed/source/feature_source.hpp"

#include "eaveshed/core/units.hpp"

namespace eaveshed {

std::optional<double> number_from_text(const std::optional<std::string>& text) {
    return text ? number_in(*text) : std::nullopt;
}

}  // namespace eaveshed
