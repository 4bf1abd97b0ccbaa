// Bare ground of the basin as a pure function of place: valleys that fall to the south, side ravines, farmed terraces,
// ridges. Nothing is kept but the side streams, so a basin of any size costs no memory.
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "basin_plan.hpp"
#include "tributary.hpp"
#include "valley.hpp"

namespace demo {

class Terrain {
public:
    Terrain(const BasinPlan& plan, const ValleyRow& row);

    [[nodiscard]] double elevation_m(Point p) const;
    [[nodiscard]] double slope(Point p) const;  // rise over run, over 12 m
    [[nodiscard]] const ValleyRow& row() const { return m_row; }
    [[nodiscard]] const std::vector<Tributary>& tributaries() const { return m_tributaries; }
    [[nodiscard]] double stream_head_along_m() const { return m_plan.height_m - 260.0; }

private:
    struct Cutting {
        double ravine_m = 0.0;  // below the smooth hillside
        double channel_m = 0.0;
        double calm = 1.0;  // 0 beside a stream: no roughness there
    };

    [[nodiscard]] double bed_m(double along_m) const;
    [[nodiscard]] double rise_m(double across_m) const;
    [[nodiscard]] double valley_ground_m(int valley, ValleyPoint at) const;
    [[nodiscard]] double smooth_ground_m(Point p) const;  // valleys and ridges alone
    [[nodiscard]] double smooth_ground_m(Point p, int valley, ValleyPoint at) const;
    [[nodiscard]] double terraces_m(Point p, double ground_m, double distance_m) const;
    [[nodiscard]] double roughness_m(Point p) const;
    [[nodiscard]] Cutting cutting(Point p) const;
    void lay_tributaries(int valley);
    void index_tributaries();
    [[nodiscard]] const std::vector<int>& near(Point p) const;

    BasinPlan m_plan;
    const ValleyRow& m_row;
    std::array<std::uint64_t, 8> m_key{};
    std::vector<double> m_rise_m;  // height above the bed at each metre from the axis
    std::vector<Tributary> m_tributaries;
    std::vector<std::vector<int>> m_bins;
    int m_bin_cols = 0;
    int m_bin_rows = 0;
};

}  // namespace demo
