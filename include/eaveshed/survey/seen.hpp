// What a file turned out to hold when nothing was said about it: plain data, without a library.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// One field of a layer, by the features that were looked at.
struct FieldSeen {
    std::string name{};
    std::size_t filled = 0;             // features with a value that is not blank
    std::vector<std::string> values{};  // different values in the order they came, at most kMostValues
    std::size_t different = 0;          // how many there are of them
    std::size_t numbers = 0;            // values that are numbers
    bool whole = true;                  // every number is whole
    double least = 0.0;                 // of the numbers; 0 without any
    double most = 0.0;

    static constexpr std::size_t kMostValues = 24;
    [[nodiscard]] bool numeric() const { return numbers > 0 && numbers == filled; }
};

enum class LayerShape2d : std::uint8_t { polygons, lines, points, none };

struct LayerSeen {
    std::string name{};
    LayerShape2d shape = LayerShape2d::none;  // of most features that were looked at
    std::int64_t features = 0;
    std::size_t looked_at = 0;                // the first of them
    std::string crs{};                        // in words; empty where the file states none
    std::optional<Box> degrees{};             // extent in WGS 84, where that is known
    std::optional<double> typical_area_m2{};  // median of the polygons that were looked at; good to a few per cent
    std::vector<FieldSeen> fields{};
};

enum class StepsSeen : std::uint8_t {
    one,     // a single band
    twelve,  // months of a mean year, or of one year
    months,  // by their dates
    days,
    undated  // more than twelve that say nothing of their dates
};

struct GridSeen {
    int bands = 1;
    std::int64_t rows = 0;
    std::int64_t cols = 0;
    double cell_m = 0.0;  // the smaller side; in degrees turned to metres at the middle
    std::string crs{};
    std::optional<Box> degrees{};
    std::string unit{};   // as the bands write it; empty where they do not
    std::string words{};  // what the bands and variables call themselves, lower case
    bool whole_numbers = false;
    StepsSeen steps = StepsSeen::one;
    std::optional<Date> first{};  // where the bands are dated
    std::optional<Date> last{};
    double least = 0.0;  // of a sample of the first band, of all bands where there are twelve
    double median = 0.0;
    double most = 0.0;
    std::vector<double> means{};  // of each band, where there are twelve
};

struct FileSeen {
    std::string path{};  // as given
    std::vector<LayerSeen> layers{};
    std::optional<GridSeen> grid{};
    bool own_result = false;   // a GeoPackage that this program made
    bool only_gauges = false;  // text that the reader of gauges' tables takes, and that of layers does not
    std::string trouble{};     // why it cannot be read; empty where it can
};

}  // namespace eaveshed
