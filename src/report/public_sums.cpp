#include "eaveshed/report/public_sums.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "eaveshed/drawing/ticks.hpp"

namespace eaveshed {

namespace {

constexpr double kMostlyTold = 0.9;

void join(PublicPart& into, const PublicPart& part) {
    into.number += part.number;
    into.sums.resize(std::max(into.sums.size(), part.sums.size()), 0.0);
    for (std::size_t i = 0; i < part.sums.size(); ++i) {
        into.sums[i] += part.sums[i];
    }
}

// All cells of one side, whatever they hold, by row and column from the north-west.
struct CellSum {
    std::size_t number = 0;
    double sum = 0.0;
};
using AllCells = std::map<std::pair<std::int64_t, std::int64_t>, CellSum>;

struct Squares {
    Point corner;  // north-west
    double width = 1.0;
    double height = 1.0;

    [[nodiscard]] std::pair<std::int64_t, std::int64_t> of(Point place) const {
        return {static_cast<std::int64_t>(std::floor((corner.y - place.y) / height)),
                static_cast<std::int64_t>(std::floor((place.x - corner.x) / width))};
    }
    [[nodiscard]] Box box(std::int64_t row, std::int64_t col) const {
        const double left = corner.x + static_cast<double>(col) * width;
        const double top = corner.y - static_cast<double>(row) * height;
        return {left, top - height, left + width, top};
    }
};

PublicGrid told_cells(const Squares& squares, const AllCells& all) {
    PublicGrid grid;
    for (const auto& [place, cell] : all) {
        if (cell.number >= kLeastOfACell) {
            grid.cells.push_back({squares.box(place.first, place.second), cell.number, cell.sum});
        } else {
            grid.left_out += cell.number;
        }
    }
    while (!may_be_told(grid.left_out) && !grid.cells.empty()) {
        const auto smallest = std::ranges::min_element(grid.cells, {}, &PublicCell::number);
        grid.left_out += smallest->number;
        grid.cells.erase(smallest);
    }
    return grid;
}

// The next of 1, 2, 5, 10, ...
double next_round(double side) {
    constexpr double kFactor = 2.6;  // between any two neighbours, and below twice any
    return round_below(side * kFactor);
}

}  // namespace

std::vector<PublicPart> joined_parts(std::span<const PublicPart> parts, const std::string& joined) {
    std::vector<PublicPart> told;
    PublicPart rest{.name = joined, .number = 0, .sums = {}};
    for (const PublicPart& part : parts) {
        if (part.number >= kLeastOfACell) {
            told.push_back(part);
        } else if (part.number > 0 || std::ranges::any_of(part.sums, [](double sum) { return sum != 0.0; })) {
            join(rest, part);
        }
    }
    const auto unfit = [&] {
        return rest.number > 0 ? rest.number < kLeastOfACell
                               : std::ranges::any_of(rest.sums, [](double sum) { return sum != 0.0; });
    };
    while (unfit() && !told.empty()) {
        const auto smallest = std::ranges::min_element(told, {}, &PublicPart::number);
        join(rest, *smallest);
        told.erase(smallest);
    }
    if (rest.number >= kLeastOfACell) {
        told.push_back(std::move(rest));
    }
    return told;
}

PublicGrid public_grid(std::span<const Point> places, std::span<const double> values, UnitLengths lengths,
                       double least_side_m) {
    Box extent;
    for (const Point& place : places) {
        extent.add(place);
    }
    if (extent.empty()) {
        return {};
    }
    const double whole_m =
        std::max((extent.x_max - extent.x_min) * lengths.along_x, (extent.y_max - extent.y_min) * lengths.along_y);
    PublicGrid grid;
    double side_m = next_round(round_below(least_side_m) / 2.0);
    while (side_m < least_side_m && side_m < whole_m) {
        side_m = next_round(side_m);
    }
    while (true) {
        const double width = side_m / lengths.along_x;
        const double height = side_m / lengths.along_y;
        // Lines at multiples of the side, so that they tell nothing of where the outermost place lies.
        const Squares squares{
            {std::floor(extent.x_min / width) * width, std::ceil(extent.y_max / height) * height}, width, height};
        AllCells all;
        for (std::size_t i = 0; i < places.size(); ++i) {
            CellSum& cell = all[squares.of(places[i])];
            ++cell.number;
            cell.sum += values[i];
        }
        grid = told_cells(squares, all);
        grid.side_m = side_m;
        const auto told = static_cast<double>(places.size() - grid.left_out);
        if (told >= kMostlyTold * static_cast<double>(places.size()) || side_m > whole_m) {
            return grid;
        }
        side_m = next_round(side_m);
    }
}

GainCurve public_curve(const GainCurve& curve) {
    GainCurve told;
    for (std::size_t i = 0; i < curve.points.size(); ++i) {
        const bool last = i + 1 == curve.points.size();
        if (told.points.empty() || curve.joined[i] >= told.joined.back() + kLeastOfACell) {
            told.points.push_back(curve.points[i]);
            told.joined.push_back(curve.joined[i]);
        } else if (last && told.points.size() > 1) {
            told.points.back() = curve.points[i];
            told.joined.back() = curve.joined[i];
        }
    }
    return told;
}

}  // namespace eaveshed
