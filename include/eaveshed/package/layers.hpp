// The output's tables as the writer takes them, in the order of OutputRows: a row's layer is kTableOf<Row>.
#pragma once

#include <vector>

#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

[[nodiscard]] std::vector<LayerSpec> output_layers(const Settings& settings);

// A parcel's roofs, pads and sizes.
[[nodiscard]] std::vector<LayerRelation> output_relations();

}  // namespace eaveshed
