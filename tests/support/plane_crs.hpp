// Coordinate reference systems made by hand, for tests that do without PROJ: planes of metres whose ways to each other
// are shifts.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed::testing {

class PlaneCrs final : public CrsModel {
public:
    // Its x and y are those of the plane "home" less the shift.
    PlaneCrs(const std::string& name, Point shift)
        : CrsModel({.name = name,
                    .wkt = name,
                    .ellipsoid = {.semi_major_m = 6378137.0, .flattening = 0.0},
                    .metres_per_unit = 1.0}),
          m_shift(shift) {}

    [[nodiscard]] Crs geographic() const override;
    [[nodiscard]] bool same_as(const CrsModel& other) const override { return facts().name == other.facts().name; }
    [[nodiscard]] std::unique_ptr<CoordinateOperation> way_to(const CrsModel& other,
                                                              const std::string& where) const override;

private:
    Point m_shift;
};

class ShiftAndScale final : public CoordinateOperation {
public:
    ShiftAndScale(Point shift, double scale) : m_shift(shift), m_scale(scale) {}
    bool apply(std::vector<double>& x, std::vector<double>& y) override {
        for (std::size_t i = 0; i < x.size(); ++i) {
            x[i] = (x[i] + m_shift.x) * m_scale;
            y[i] = (y[i] + m_shift.y) * m_scale;
        }
        return true;
    }

private:
    Point m_shift;
    double m_scale;
};

// Degrees around the plane's origin, on the equator of a sphere: as flat as a basin is small.
class FlatDegrees final : public CrsModel {
public:
    FlatDegrees()
        : CrsModel({.name = "degrees",
                    .wkt = "degrees",
                    .ellipsoid = {.semi_major_m = 6378137.0, .flattening = 0.0},
                    .geographic = true}) {}
    [[nodiscard]] Crs geographic() const override { return Crs(std::make_shared<const FlatDegrees>()); }
    [[nodiscard]] bool same_as(const CrsModel& other) const override { return facts().name == other.facts().name; }
    [[nodiscard]] std::unique_ptr<CoordinateOperation> way_to(const CrsModel& other,
                                                              const std::string& where) const override {
        throw input_error(where, "no way from degrees to " + other.facts().name, "a way", "use another plane");
    }
};

inline constexpr double kMetresPerFlatDegree = 6378137.0 * 3.14159265358979323846 / 180.0;

inline Crs PlaneCrs::geographic() const {
    return Crs(std::make_shared<const FlatDegrees>());
}

inline std::unique_ptr<CoordinateOperation> PlaneCrs::way_to(const CrsModel& other, const std::string& where) const {
    if (other.facts().geographic) {
        return std::make_unique<ShiftAndScale>(m_shift, 1.0 / kMetresPerFlatDegree);
    }
    const auto* const plane = dynamic_cast<const PlaneCrs*>(&other);
    if (plane == nullptr) {
        throw input_error(where, "no way from " + facts().name + " to " + other.facts().name, "a way",
                          "use another plane");
    }
    return std::make_unique<ShiftAndScale>(Point{m_shift.x - plane->m_shift.x, m_shift.y - plane->m_shift.y}, 1.0);
}

inline Crs plane(const std::string& name = "home", Point shift = {}) {
    return Crs(std::make_shared<const PlaneCrs>(name, shift));
}

}  // namespace eaveshed::testing
