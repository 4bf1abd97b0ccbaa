// Coordinate reference systems and the ways between them. Everywhere in this program x is the easting or longitude and
// y the northing or latitude, whatever order an authority defines.
//
// Free of any library: what PROJ knows comes in through outside/gdal_crs.hpp, and a test can bring a plane of its own.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

class Crs;

// An operation on coordinates. Not thread-safe: one per worker.
class CoordinateOperation {
public:
    virtual ~CoordinateOperation() = default;
    // In place, as many x as y. False, with both undefined, when any fails or leaves a value that is not finite.
    [[nodiscard]] virtual bool apply(std::vector<double>& x, std::vector<double>& y) = 0;
};

struct CrsFacts {
    std::string name;  // "EPSG:32610 (WGS 84 / UTM zone 10N)" where known
    std::string wkt;   // ISO 19162
    Ellipsoid ellipsoid;
    bool geographic = false;
    bool local = false;             // engineering CRS, without a path to others
    double metres_per_unit = 0.0;   // of x and y; for geographic CRSs 0
    double degrees_per_unit = 1.0;  // of longitude and latitude of the geographic CRS that it is based on
};

// A CRS as whoever knows it tells of it. Immutable, safe to share between threads.
class CrsModel {
public:
    explicit CrsModel(CrsFacts facts) : m_facts(std::move(facts)) {}
    virtual ~CrsModel() = default;
    CrsModel(const CrsModel&) = delete;
    CrsModel& operator=(const CrsModel&) = delete;

    [[nodiscard]] const CrsFacts& facts() const { return m_facts; }
    // The geographic CRS that a projected one is based on.
    [[nodiscard]] virtual Crs geographic() const = 0;
    [[nodiscard]] virtual bool same_as(const CrsModel& other) const = 0;
    // Throws an input error naming `where` and both CRSs when there is no way.
    [[nodiscard]] virtual std::unique_ptr<CoordinateOperation> way_to(const CrsModel& other,
                                                                      const std::string& where) const = 0;
    // The way from another kind of CRS that knows nothing of this one; null for one that others know their way to.
    [[nodiscard]] virtual std::unique_ptr<CoordinateOperation> way_from(const CrsModel& /*other*/,
                                                                        const std::string& /*where*/) const {
        return nullptr;
    }

private:
    CrsFacts m_facts;
};

// Cheap to copy, safe to share between threads. A default-made Crs is "none": the file does not say; only given(),
// same_as() and name() may be asked of it.
class Crs {
public:
    Crs() = default;
    explicit Crs(std::shared_ptr<const CrsModel> model) : m_model(std::move(model)) {}

    [[nodiscard]] bool given() const { return m_model != nullptr; }
    [[nodiscard]] bool is_geographic() const { return m_model->facts().geographic; }
    [[nodiscard]] bool is_local() const { return m_model->facts().local; }
    [[nodiscard]] double metres_per_unit() const { return m_model->facts().metres_per_unit; }
    // The same, and of a geographic CRS what a degree has at the equator: for sizes that need not be exact.
    [[nodiscard]] double rough_metres_per_unit() const {
        return is_geographic() ? metres_per_degree(0.0, ellipsoid()).east : metres_per_unit();
    }
    [[nodiscard]] double degrees_per_unit() const { return m_model->facts().degrees_per_unit; }
    [[nodiscard]] Ellipsoid ellipsoid() const { return m_model->facts().ellipsoid; }
    [[nodiscard]] std::string name() const { return given() ? m_model->facts().name : "no CRS"; }
    [[nodiscard]] std::string wkt() const { return m_model->facts().wkt; }
    [[nodiscard]] Crs geographic() const { return is_geographic() ? *this : m_model->geographic(); }
    [[nodiscard]] bool same_as(const Crs& other) const;
    // Null for none. Lives as long as any copy of this Crs.
    [[nodiscard]] const CrsModel* model() const { return m_model.get(); }

private:
    std::shared_ptr<const CrsModel> m_model;
};

// The operation between two CRSs. Not thread-safe: one per worker.
class Transform {
public:
    // Throws an input error naming both when no operation is known. Equal CRSs give the identity.
    Transform(const Crs& from, const Crs& to, const std::string& where);

    [[nodiscard]] bool identity() const { return m_operation == nullptr; }
    // None where the operation fails or leaves a value that is not finite.
    [[nodiscard]] std::optional<Point> operator()(Point point) const;
    // In place; false, with the points undefined, when any fails.
    [[nodiscard]] bool apply(std::vector<Point>& points) const;
    [[nodiscard]] std::optional<MultiPolygon> operator()(const MultiPolygon& outline) const;
    // Box that holds the transformed box, by points along its edges.
    [[nodiscard]] std::optional<Box> operator()(const Box& box) const;

private:
    std::unique_ptr<CoordinateOperation> m_operation;  // null: identity
    mutable std::vector<double> m_x;                   // kept from call to call
    mutable std::vector<double> m_y;
};

}  // namespace eaveshed
