// In what unit, and above what, the heights of a file are. Private to the module.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/raster/raster_source.hpp"
#include "eaveshed/source/raster_info.hpp"

class GDALDataset;

namespace eaveshed {

struct HeightUnit {
    double metres = 1.0;
    std::string said;      // "ft by the band"; empty: nobody says, metres are taken
    bool in_file = false;  // the file says so
};

// Throws input errors: band and vertical part of the CRS that differ, a setting that says otherwise (unless the file
// wins, which is noted), an unknown unit that no setting explains.
[[nodiscard]] HeightUnit height_unit(GDALDataset& dataset, int band, const RasterRequest& request,
                                     const std::string& where, Findings& findings);

[[nodiscard]] VerticalReference vertical_reference(GDALDataset& dataset);
// "EGM96 geoid", "the ellipsoid", "a datum that the file does not state".
[[nodiscard]] std::string datum_words(const VerticalReference& reference);

// Factors of one unit written twice agree to 1e-7; the two feet differ by 2e-6.
[[nodiscard]] bool same_factor(double a, double b);

}  // namespace eaveshed
