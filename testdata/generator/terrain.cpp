#include "terrain.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "noise.hpp"
#include "portable_math.hpp"

namespace demo {
namespace {

constexpr double kTwoPi = 6.283185307179586;
constexpr double kOutletBed_m = 24.0;
constexpr double kBedSlope = 0.016;
constexpr double kHeadSlope = 0.09;
constexpr double kBin_m = 200.0;
// Layers of noise, each with a key of its own.
enum Layer : std::size_t { kSteepness = 0, kTerraces = 1, kGrain = 2, kRoughness = 3 };  // roughness has four
constexpr double kTerraceStep_m = 3.2;

struct SlopeKnot {
    double across_m, slope;
};
// Cross-section: flood plain, bank, village terrace, then steeper and steeper hillside.
constexpr std::array<SlopeKnot, 13> kSection = {{{0, 0},
                                                 {16, 0},
                                                 {24, .07},
                                                 {36, .07},
                                                 {48, .045},
                                                 {112, .055},
                                                 {135, .075},
                                                 {180, .085},
                                                 {260, .115},
                                                 {340, .14},
                                                 {450, .19},
                                                 {620, .21},
                                                 {5000, .21}}};

double section_slope(double across_m) {
    std::size_t i = 1;
    while (kSection[i].across_m < across_m && i + 1 < kSection.size()) {
        ++i;
    }
    const SlopeKnot& a = kSection[i - 1];
    const SlopeKnot& b = kSection[i];
    return a.slope + (b.slope - a.slope) * (across_m - a.across_m) / (b.across_m - a.across_m);
}

double smooth_lower(double a, double b, double blend_m) {
    const double h = std::max(blend_m - std::fabs(a - b), 0.0) / blend_m;
    return std::min(a, b) - h * h * blend_m / 4.0;
}

double channel_cut(double aside_m, double half_width_m, double depth_m) {
    const double q = aside_m / half_width_m;
    return q * q < 1.0 ? depth_m * (1.0 - q * q) * (1.0 - q * q) : 0.0;
}

}  // namespace

Terrain::Terrain(const BasinPlan& plan, const ValleyRow& row) : m_plan(plan), m_row(row) {
    for (std::size_t i = 0; i < m_key.size(); ++i) {
        m_key[i] = Random(plan.seed, Purpose::kNoise, {static_cast<int>(i)}).next();
    }
    const double half = row.spacing_m / 2.0;
    m_rise_m.assign(static_cast<std::size_t>(half) + 1000, 0.0);
    for (std::size_t i = 1; i < m_rise_m.size(); ++i) {
        const double d = static_cast<double>(i) - 0.5;
        m_rise_m[i] = m_rise_m[i - 1] + section_slope(d) * (1.0 - 0.85 * smoothstep(0.65 * half, half, d));
    }
    m_bin_cols = static_cast<int>(std::ceil(plan.width_m / kBin_m));
    m_bin_rows = static_cast<int>(std::ceil(plan.height_m / kBin_m));
    m_bins.resize(static_cast<std::size_t>(m_bin_cols) * static_cast<std::size_t>(m_bin_rows));
    for (int v = 0; v < static_cast<int>(row.valleys.size()); ++v) {
        lay_tributaries(v);
    }
    index_tributaries();
}

// An even fall to the outlet, and a headwall in the last 700 m that closes the basin.
double Terrain::bed_m(double along_m) const {
    const double start = m_plan.height_m - 700.0;
    const double beyond = std::max(0.0, along_m - start);
    return kOutletBed_m + kBedSlope * along_m + (kHeadSlope - kBedSlope) * beyond * beyond / 1400.0;
}

double Terrain::rise_m(double across_m) const {
    const double d = std::min(std::fabs(across_m), static_cast<double>(m_rise_m.size()) - 2.0);
    const auto i = static_cast<std::size_t>(d);
    const double share = d - static_cast<double>(i);
    return m_rise_m[i] * (1.0 - share) + m_rise_m[i + 1] * share;
}

double Terrain::valley_ground_m(int valley, ValleyPoint at) const {
    const int side = at.across_m < 0.0 ? 0 : 1;
    const double steepness =
        1.0 + 0.35 * gradient_noise(m_key[kSteepness], at.along_m / 700.0, 2.0 * valley + side + 0.5);
    return bed_m(at.along_m) + steepness * rise_m(at.across_m);
}

double Terrain::smooth_ground_m(Point p) const {
    const int valley = m_row.nearest(p);
    return smooth_ground_m(p, valley, m_row.valleys[static_cast<std::size_t>(valley)].to_valley(p));
}

double Terrain::smooth_ground_m(Point p, int valley, ValleyPoint at) const {
    double ground = valley_ground_m(valley, at);
    for (int other : {valley - 1, valley + 1}) {
        const bool near_ridge =
            (other < valley) == (at.across_m < 0.0) && std::fabs(at.across_m) > m_row.spacing_m / 2.0 - 300.0;
        if (!near_ridge || other < 0 || other >= static_cast<int>(m_row.valleys.size())) {
            continue;
        }
        const ValleyPoint there = m_row.valleys[static_cast<std::size_t>(other)].to_valley(p);
        ground = smooth_lower(ground, valley_ground_m(other, there), 25.0);
    }
    return ground;
}

// Old farm terraces: along the contour, in patches; each step flattens the bench and steepens the riser.
double Terrain::terraces_m(Point p, double ground_m, double distance_m) const {
    const double patch = smoothstep(0.0, 0.25, gradient_noise(m_key[kTerraces], p.x / 330.0, p.y / 330.0));
    const double share =
        0.7 * patch * smoothstep(115.0, 170.0, distance_m) * (1.0 - smoothstep(380.0, 520.0, distance_m));
    return -share * kTerraceStep_m / kTwoPi * sine_of_turns(ground_m / kTerraceStep_m);
}

double Terrain::roughness_m(Point p) const {
    struct Octave {
        double size_m, height_m;
    };
    constexpr std::array<Octave, 4> kOctaves = {{{430.0, 15.0}, {170.0, 4.6}, {64.0, 1.1}, {23.0, 0.2}}};
    double sum = 0.0;
    std::size_t layer = kRoughness;
    for (const Octave& o : kOctaves) {
        sum += o.height_m * gradient_noise(m_key[layer++], p.x / o.size_m, p.y / o.size_m);
    }
    return sum;
}

Terrain::Cutting Terrain::cutting(Point p) const {
    Cutting out;
    for (int index : near(p)) {
        const Tributary& t = m_tributaries[static_cast<std::size_t>(index)];
        const Tributary::Position at = t.position(p);
        const double presence = t.presence(at.up_m);
        const double q = at.aside_m / Tributary::kRavineHalfWidth_m;
        if (q * q >= 1.0) {
            continue;
        }
        out.ravine_m += t.depth_m(at.up_m) * (1.0 - q * q) * (1.0 - q * q);
        out.calm *= 1.0 - presence * (1.0 - smoothstep(5.0, 95.0, std::fabs(at.aside_m)));
        // Deepest at the junction, where it meets the main channel's bed.
        const double side_depth_m = 1.4 - 0.8 * std::clamp(at.up_m / 140.0, 0.0, 1.0);
        out.channel_m =
            std::max(out.channel_m, t.channel_presence(at.up_m) * channel_cut(at.aside_m, 4.5, side_depth_m));
    }
    return out;
}

double Terrain::elevation_m(Point p) const {
    const int index = m_row.nearest(p);
    const Valley& valley = m_row.valleys[static_cast<std::size_t>(index)];
    const ValleyPoint at = valley.to_valley(p);
    const double from_channel = std::fabs(at.across_m - valley.channel_offset_m(at.along_m));
    Cutting cut = cutting(p);
    const double below_head = 1.0 - smoothstep(stream_head_along_m() - 40.0, stream_head_along_m() + 10.0, at.along_m);
    cut.channel_m = std::max(cut.channel_m, below_head * channel_cut(from_channel, 5.0, 1.3));
    const double smooth = smooth_ground_m(p, index, at) - cut.ravine_m;
    const double calm = cut.calm * smoothstep(10.0, 160.0, from_channel);
    const double grain = (0.01 + 0.04 * calm) * gradient_noise(m_key[kGrain], p.x / 7.0, p.y / 7.0);
    return smooth + calm * (roughness_m(p) + terraces_m(p, smooth, std::fabs(at.across_m))) - cut.channel_m + grain;
}

double Terrain::slope(Point p) const {
    const double east = elevation_m({p.x + 6.0, p.y}) - elevation_m({p.x - 6.0, p.y});
    const double north = elevation_m({p.x, p.y + 6.0}) - elevation_m({p.x, p.y - 6.0});
    return length({east / 12.0, north / 12.0});
}

void Terrain::lay_tributaries(int valley) {
    const Valley& v = m_row.valleys[static_cast<std::size_t>(valley)];
    const double half = m_row.spacing_m / 2.0;
    for (int side : {-1, 1}) {
        Random random(m_plan.seed, Purpose::kTributary, {valley, side});
        double along = random.range(200.0, 600.0);
        int nth = 0;
        while (along < m_plan.height_m - 650.0) {
            const Point up = v.upstream(along);
            const Point out = turned_left(up) * static_cast<double>(-side);
            const Point direction = unit(out + up * random.range(0.35, 0.6));
            const double reach = random.range(0.42, 0.62) * half;
            Tributary t({valley, along, v.to_world(along, v.channel_offset_m(along)), direction, reach},
                        Random(m_plan.seed, Purpose::kStream, {valley, side, nth++}));
            std::vector<double> ground;
            ground.reserve(static_cast<std::size_t>(t.step_count()));
            for (int i = 0; i < t.step_count(); ++i) {
                ground.push_back(smooth_ground_m(t.point_at(i * Tributary::kStep_m)));
            }
            t.cut(ground);
            m_tributaries.push_back(std::move(t));
            along += random.range(480.0, 820.0);
        }
    }
}

void Terrain::index_tributaries() {
    const double margin = Tributary::kRavineHalfWidth_m + 20.0;
    for (int index = 0; index < static_cast<int>(m_tributaries.size()); ++index) {
        const Tributary& t = m_tributaries[static_cast<std::size_t>(index)];
        const Point a = t.point_at(0.0);
        const Point b = t.point_at(t.course().length_m);
        const auto bin = [](double v, int count) {
            return std::clamp(static_cast<int>(std::floor(v / kBin_m)), 0, count - 1);
        };
        for (int r = bin(std::min(a.y, b.y) - margin, m_bin_rows); r <= bin(std::max(a.y, b.y) + margin, m_bin_rows);
             ++r) {
            for (int c = bin(std::min(a.x, b.x) - margin, m_bin_cols);
                 c <= bin(std::max(a.x, b.x) + margin, m_bin_cols); ++c) {
                m_bins[static_cast<std::size_t>(r) * static_cast<std::size_t>(m_bin_cols) + static_cast<std::size_t>(c)]
                    .push_back(index);
            }
        }
    }
}

const std::vector<int>& Terrain::near(Point p) const {
    const int col = std::clamp(static_cast<int>(std::floor(p.x / kBin_m)), 0, m_bin_cols - 1);
    const int row = std::clamp(static_cast<int>(std::floor(p.y / kBin_m)), 0, m_bin_rows - 1);
    return m_bins[static_cast<std::size_t>(row) * static_cast<std::size_t>(m_bin_cols) + static_cast<std::size_t>(col)];
}

}  // namespace demo
