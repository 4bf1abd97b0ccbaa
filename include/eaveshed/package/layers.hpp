// The layers and tables of the output, in the order in which the writer numbers them. Private to the module.
#pragma once

#include <vector>

#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

inline constexpr std::size_t kRoofsLayer = 0;
inline constexpr std::size_t kPadsLayer = 1;
inline constexpr std::size_t kUsePointsLayer = 2;
inline constexpr std::size_t kParcelsLayer = 3;
inline constexpr std::size_t kCurveLayer = 4;
inline constexpr std::size_t kScenariosLayer = 5;
inline constexpr std::size_t kOverridesLayer = 6;
inline constexpr std::size_t kRunRecordLayer = 7;

[[nodiscard]] std::vector<LayerSpec> output_layers(const OutputSettings& settings);
[[nodiscard]] std::vector<ClosedList> closed_lists();

}  // namespace eaveshed
