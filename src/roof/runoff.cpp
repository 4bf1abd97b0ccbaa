#include "eaveshed/roof/runoff.hpp"

namespace eaveshed {

Assumed runoff_coefficient(const std::optional<std::string>& material, const std::map<std::string, double>& table,
                           double default_coefficient) {
    if (material) {
        if (const auto found = table.find(*material); found != table.end()) {
            return {found->second, false};
        }
    }
    return {default_coefficient, true};
}

Assumed connected_share(const std::optional<double>& share, double default_share) {
    if (share && *share >= 0.0 && *share <= 1.0) {
        return {*share, false};
    }
    return {default_share, true};
}

}  // namespace eaveshed
