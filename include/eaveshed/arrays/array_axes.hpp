// The axes of a gridded array: which dimension is which, and what its coordinates are. Beside grid_array nothing
// includes it.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

class GDALDimension;
class GDALGroup;
class GDALMDArray;

namespace eaveshed {

enum class AxisKind : std::uint8_t { x, y, time, other };

// One dimension with its coordinate variable, which may be absent.
struct ArrayAxis {
    std::string name;
    std::uint64_t size = 0;
    AxisKind kind = AxisKind::other;
    std::shared_ptr<GDALMDArray> coordinates;
    bool degrees = false;  // of longitude or latitude
    bool rotated = false;  // of a rotated pole
};

// An attribute as text, "units" included; empty when there is none.
[[nodiscard]] std::string attribute_text(const GDALMDArray& array, const std::string& name);
[[nodiscard]] std::optional<double> attribute_number(const GDALMDArray& array, const std::string& name);

// The variable of a name that another one uses: in that one's group, else in the groups above it (CF conventions 2.7).
// Null where there is none.
[[nodiscard]] std::shared_ptr<GDALMDArray> array_near(const GDALGroup& root, const GDALMDArray& from,
                                                      const std::string& name);

// In the file's order. By units, standard name or axis attribute of the coordinates, else by the dimension's name.
[[nodiscard]] std::vector<ArrayAxis> axes_of(const GDALGroup& root, const GDALMDArray& array);

// All values of plain numbers in at most two dimensions; empty when there are none or too many.
[[nodiscard]] std::vector<double> values_of(const GDALMDArray& array);

// Pairs of the variable that bounds a coordinate; empty without one.
[[nodiscard]] std::vector<double> bounds_of(const GDALGroup& root, const GDALMDArray& coordinates);

// An even axis of cells: first and last edge in the file's order.
struct EvenAxis {
    double first_edge = 0.0;
    double last_edge = 0.0;
    // Largest distance of a coordinate from the even axis, in cells.
    double unevenness = 0.0;
};
// None where the coordinates are missing, not finite, or one alone without bounds. `turns`: longitudes, which may jump
// by a turn.
[[nodiscard]] std::optional<EvenAxis> even_axis(const GDALGroup& root, const ArrayAxis& axis, bool turns);

// "member (3: 1, 2, 3)": a dimension as messages list it.
[[nodiscard]] std::string axis_text(const ArrayAxis& axis);
// The place on the axis that `value` means: a coordinate, or without coordinates the position from 1.
[[nodiscard]] std::optional<std::uint64_t> index_on(const ArrayAxis& axis, const std::string& value);

}  // namespace eaveshed
