// How much of the rain a roof gives.
#pragma once

#include <map>
#include <optional>
#include <string>

namespace eaveshed {

struct Assumed {
    double value = 0.0;
    bool is_default = false;
};

// The coefficient of the material, compared as text exactly; the default without a material or a match.
// method.md 1.7.
[[nodiscard]] Assumed runoff_coefficient(const std::optional<std::string>& material,
                                         const std::map<std::string, double>& table, double default_coefficient);

// Share of the roof that drains to collected downspouts, 0..1; the default without a value in that range.
// method.md 1.8.
[[nodiscard]] Assumed connected_share(const std::optional<double>& share, double default_share);

}  // namespace eaveshed
