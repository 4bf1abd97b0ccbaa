// Coordinate reference systems and transformations (PROJ through GDAL). Everywhere in this program x is the easting or
// longitude and y the northing or latitude, whatever order an authority defines.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/polygon.hpp"

class OGRSpatialReference;

namespace eaveshed {

// Immutable, cheap to copy, safe to share between threads (what PROJ works out lazily is worked out when it is made,
// the rest behind a lock). A default-made Crs is "none": the file does not say; only given(), same_as() and name() may
// be asked of it.
class Crs {
public:
    Crs() = default;
    // Takes a copy and sets the axis order; the vertical part of a compound CRS is dropped. Null gives "none".
    [[nodiscard]] static Crs from_handle(const OGRSpatialReference* srs);
    // AUTHORITY:CODE, WKT or PROJJSON, told apart by our own look at the text. Never touches the network or a file.
    // Throws an input error naming `where`.
    [[nodiscard]] static Crs from_text(const std::string& text, const std::string& where);

    [[nodiscard]] bool given() const { return m_data != nullptr; }
    [[nodiscard]] bool is_geographic() const;
    [[nodiscard]] bool is_local() const;           // engineering CRS, without a path to others
    [[nodiscard]] double metres_per_unit() const;  // of x and y; for geographic CRSs 0
    [[nodiscard]] Ellipsoid ellipsoid() const;
    [[nodiscard]] std::string name() const;  // "EPSG:32610 (WGS 84 / UTM zone 10N)" where known
    [[nodiscard]] std::string wkt() const;
    [[nodiscard]] Crs geographic() const;  // the geographic CRS it is based on
    [[nodiscard]] bool same_as(const Crs& other) const;
    // For the library's own calls on one thread; null for none. Lives as long as any copy of this Crs.
    [[nodiscard]] const OGRSpatialReference* handle() const;

private:
    struct Data;
    std::shared_ptr<const Data> m_data;
};

// PROJ's default operation between two CRSs (of several the best one for each point, as PROJ ranks them by area and
// accuracy), without network grids. Not thread-safe: one per worker.
class Transform {
public:
    // Throws an input error naming both when PROJ knows no operation. Equal CRSs give the identity.
    Transform(const Crs& from, const Crs& to, const std::string& where);
    ~Transform();
    Transform(Transform&& other) noexcept;
    Transform& operator=(Transform&& other) noexcept;

    [[nodiscard]] bool identity() const;
    // None where the operation fails or leaves a value that is not finite.
    [[nodiscard]] std::optional<Point> operator()(Point point) const;
    // In place; false, with the points undefined, when any fails.
    [[nodiscard]] bool apply(std::vector<Point>& points) const;
    [[nodiscard]] std::optional<MultiPolygon> operator()(const MultiPolygon& outline) const;
    // Box that holds the transformed box, by points along its edges.
    [[nodiscard]] std::optional<Box> operator()(const Box& box) const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
