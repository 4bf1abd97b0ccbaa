#include "eaveshed/plausible/judge_parcel_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "eaveshed/plausible/judge_roofs.hpp"
#include "eaveshed/shape/box_index.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/shape/prepared_area.hpp"

namespace eaveshed {

namespace {

constexpr double kStepM = 2.0;

// How a roof lies to the parcels.
enum class Lies : std::uint8_t { inside, across, beside };

struct Shift {
    double dx = 0.0;
    double dy = 0.0;
    std::size_t wrong = 0;  // roofs not inside one parcel
    [[nodiscard]] double length() const { return std::hypot(dx, dy); }
};

std::vector<Box> boxes_of(const std::vector<MultiPolygon>& outlines) {
    std::vector<Box> boxes;
    boxes.reserve(outlines.size());
    for (const MultiPolygon& outline : outlines) {
        boxes.push_back(bounds(outline));
    }
    return boxes;
}

// The corner, so far towards the middle that what remains outside lies over that far outside.
Point drawn_in(Point corner, Point middle) {
    const double most = rule_of(CheckCode::roofs_across_parcels).high;
    const double x = middle.x - corner.x;
    const double y = middle.y - corner.y;
    const double length = std::hypot(x, y);
    const double part = length > most ? most / length : 1.0;
    return {corner.x + part * x, corner.y + part * y};
}

class Fitting {
public:
    explicit Fitting(const ParcelFit& fit) : m_index(boxes_of(fit.parcels)) {
        for (const MultiPolygon& parcel : fit.parcels) {
            m_parcels.emplace_back(parcel);
        }
        for (const FitRoof& roof : fit.roofs) {
            Box near;
            near.add(roof.interior);
            if (!m_index.query(near.grown(kMostShiftM, kMostShiftM)).empty()) {
                FitRoof& kept = m_roofs.emplace_back(roof);
                for (Point& corner : kept.corners) {
                    corner = drawn_in(corner, kept.interior);
                }
            }
        }
    }

    [[nodiscard]] const std::vector<FitRoof>& roofs() const { return m_roofs; }
    [[nodiscard]] Lies lies(const FitRoof& roof, double dx, double dy) const;
    [[nodiscard]] std::size_t wrong_at(double dx, double dy) const;
    [[nodiscard]] Shift best() const;

private:
    [[nodiscard]] std::optional<std::uint32_t> parcel_at(Point point) const {
        Box here;
        here.add(point);
        for (const std::uint32_t position : m_index.query(here)) {
            if (m_parcels[position].contains(point)) {
                return position;
            }
        }
        return std::nullopt;
    }

    BoxIndex m_index;
    std::vector<PreparedArea> m_parcels;
    std::vector<FitRoof> m_roofs;
};

Lies Fitting::lies(const FitRoof& roof, double dx, double dy) const {
    const auto parcel = roof.named ? roof.named : parcel_at({roof.interior.x + dx, roof.interior.y + dy});
    if (!parcel) {
        return Lies::beside;
    }
    const PreparedArea& area = m_parcels.at(*parcel);
    const bool inside = std::ranges::all_of(roof.corners, [&](Point corner) {
        return area.contains({corner.x + dx, corner.y + dy});
    });
    return inside ? Lies::inside : Lies::across;
}

std::size_t Fitting::wrong_at(double dx, double dy) const {
    return static_cast<std::size_t>(
        std::ranges::count_if(m_roofs, [&](const FitRoof& roof) { return lies(roof, dx, dy) != Lies::inside; }));
}

// The shifts in a square, every kStepM, row by row.
class ShiftGrid {
public:
    static constexpr int kReach = static_cast<int>(kMostShiftM / kStepM);
    static constexpr int kSide = 2 * kReach + 1;

    explicit ShiftGrid(const std::function<std::size_t(double dx, double dy)>& wrong_at) {
        for (int i = 0; i < kSide * kSide; ++i) {
            const int col = i % kSide;
            const int row = i / kSide;
            const double dx = kStepM * (col - kReach);
            const double dy = kStepM * (row - kReach);
            m_shifts.push_back({dx, dy, wrong_at(dx, dy)});
        }
    }
    // With the fewest wrong; of these the shortest, the first of equals.
    [[nodiscard]] int best() const {
        const auto found = std::ranges::min_element(m_shifts, [](const Shift& a, const Shift& b) {
            return std::pair(a.wrong, a.length()) < std::pair(b.wrong, b.length());
        });
        return static_cast<int>(found - m_shifts.begin());
    }
    // The middle of all that are as good and hang together with this one: roofs have room on all sides there.
    [[nodiscard]] Shift middle_around(int start) const;
    [[nodiscard]] const Shift& at(int place) const { return m_shifts.at(static_cast<std::size_t>(place)); }

private:
    std::vector<Shift> m_shifts;
};

Shift ShiftGrid::middle_around(int start) const {
    std::vector<bool> found(m_shifts.size());
    std::vector<int> open{start};
    found.at(static_cast<std::size_t>(start)) = true;
    Shift middle;
    double count = 0.0;
    while (!open.empty()) {
        const int place = open.back();
        open.pop_back();
        middle.dx += at(place).dx;
        middle.dy += at(place).dy;
        count += 1.0;
        const int col = place % kSide;
        const int row = place / kSide;
        for (const auto& [next_col, next_row] :
             {std::pair(col - 1, row), std::pair(col + 1, row), std::pair(col, row - 1), std::pair(col, row + 1)}) {
            const int next = next_row * kSide + next_col;
            if (next_col < 0 || next_col >= kSide || next_row < 0 || next_row >= kSide ||
                found[static_cast<std::size_t>(next)] || at(next).wrong != at(start).wrong) {
                continue;
            }
            found[static_cast<std::size_t>(next)] = true;
            open.push_back(next);
        }
    }
    middle.dx /= count;
    middle.dy /= count;
    return middle;
}

Shift Fitting::best() const {
    const ShiftGrid grid([this](double dx, double dy) { return wrong_at(dx, dy); });
    const int best = grid.best();
    Shift middle = grid.middle_around(best);
    middle.wrong = wrong_at(middle.dx, middle.dy);
    return middle.wrong <= grid.at(best).wrong ? middle : grid.at(best);
}

std::string direction(double dx, double dy) {
    return fmt::format("{:.0f} m {} and {:.0f} m {}", std::abs(dx), dx < 0.0 ? "west" : "east", std::abs(dy),
                       dy < 0.0 ? "south" : "north");
}

}  // namespace

void judge_parcel_fit(const ParcelFit& fit, const std::string& where, Findings& findings) {
    const Fitting fitting(fit);
    const auto all = static_cast<double>(fitting.roofs().size());
    std::vector<const FitRoof*> wrong;
    std::size_t across = 0;
    for (const FitRoof& roof : fitting.roofs()) {
        const Lies lies = fitting.lies(roof, 0.0, 0.0);
        across += lies == Lies::across ? 1U : 0U;
        if (lies != Lies::inside) {
            wrong.push_back(&roof);
        }
    }
    const auto share = [&](std::size_t some) { return static_cast<double>(some) / all; };
    const CheckRule& shifted = rule_of(CheckCode::parcels_shifted);
    if (fitting.roofs().size() < kLeastJudged || share(wrong.size()) < shifted.share) {
        return;
    }
    const std::string found =
        fmt::format("{:.0f} % of {} roofs looked at not inside one parcel, such as \"{}\"", 100.0 * share(wrong.size()),
                    fitting.roofs().size(), wrong[wrong.size() / 2]->id);
    const Shift best = fitting.best();
    if (best.length() >= shifted.high && 2 * best.wrong <= wrong.size()) {
        findings.check(CheckCode::parcels_shifted,
                       {where,
                        fmt::format("{}; with the footprints {} it would be {:.0f} %", found,
                                    direction(best.dx, best.dy), 100.0 * share(best.wrong)),
                        "both layers in one place", ""});
    } else if (share(across) >= rule_of(CheckCode::roofs_across_parcels).share) {
        findings.check(CheckCode::roofs_across_parcels,
                       {where, fmt::format("{}; no shift of up to {:g} m of one layer mends it", found, kMostShiftM),
                        "roofs inside one parcel each", ""});
    }
}

}  // namespace eaveshed
