#include "eaveshed/crs/turned_crs.hpp"

#include <cmath>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// A turn around a point, and back.
struct Turn {
    Point origin;
    double degrees = 0.0;
    double cosine = 1.0;
    double sine = 0.0;

    [[nodiscard]] Point into(Point base) const {
        const double x = base.x - origin.x;
        const double y = base.y - origin.y;
        return {x * cosine + y * sine, y * cosine - x * sine};
    }
    [[nodiscard]] Point back(Point turned) const {
        return {origin.x + turned.x * cosine - turned.y * sine, origin.y + turned.x * sine + turned.y * cosine};
    }
    friend bool operator==(const Turn&, const Turn&) = default;
};

// Turns, goes the base's way, or both; either may be left out.
class TurnedOperation final : public CoordinateOperation {
public:
    TurnedOperation(std::optional<Turn> before, std::unique_ptr<CoordinateOperation> way, std::optional<Turn> after)
        : m_before(before), m_way(std::move(way)), m_after(after) {}

    bool apply(std::vector<double>& x, std::vector<double>& y) override {
        const auto each = [&](const auto& move) {
            for (std::size_t i = 0; i < x.size(); ++i) {
                const Point moved = move(Point{x[i], y[i]});
                x[i] = moved.x;
                y[i] = moved.y;
            }
        };
        if (m_before) {
            each([&](Point point) { return m_before->back(point); });
        }
        if (m_way != nullptr && !m_way->apply(x, y)) {
            return false;
        }
        if (m_after) {
            each([&](Point point) { return m_after->into(point); });
        }
        for (std::size_t i = 0; i < x.size(); ++i) {
            if (!std::isfinite(x[i]) || !std::isfinite(y[i])) {
                return false;
            }
        }
        return true;
    }

private:
    std::optional<Turn> m_before;
    std::unique_ptr<CoordinateOperation> m_way;
    std::optional<Turn> m_after;
};

CrsFacts facts_of_turned(const Crs& base, const Turn& turn) {
    CrsFacts facts = base.model()->facts();
    const std::string degrees = std::to_string(std::round(turn.degrees * 100.0) / 100.0);
    facts.name += ", turned by " + degrees.substr(0, degrees.size() - 4) + " degrees";
    facts.wkt += ", turned about " + std::to_string(turn.origin.x) + " " + std::to_string(turn.origin.y) + " by " +
                 std::to_string(turn.degrees);
    return facts;
}

class TurnedCrs final : public CrsModel {
public:
    TurnedCrs(Crs base, const Turn& turn)
        : CrsModel(facts_of_turned(base, turn)), m_base(std::move(base)), m_turn(turn) {}

    [[nodiscard]] const Crs& base() const { return m_base; }
    [[nodiscard]] const Turn& turn() const { return m_turn; }
    [[nodiscard]] Crs geographic() const override { return m_base.geographic(); }
    [[nodiscard]] bool same_as(const CrsModel& other) const override {
        const auto* const turned = dynamic_cast<const TurnedCrs*>(&other);
        return turned != nullptr && turned->m_turn == m_turn && turned->m_base.same_as(m_base);
    }
    [[nodiscard]] std::unique_ptr<CoordinateOperation> way_to(const CrsModel& other,
                                                              const std::string& where) const override {
        return std::make_unique<TurnedOperation>(m_turn, base_way(*m_base.model(), other, where), std::nullopt);
    }
    [[nodiscard]] std::unique_ptr<CoordinateOperation> way_from(const CrsModel& other,
                                                                const std::string& where) const override {
        return std::make_unique<TurnedOperation>(std::nullopt, base_way(other, *m_base.model(), where), m_turn);
    }

private:
    static std::unique_ptr<CoordinateOperation> base_way(const CrsModel& from, const CrsModel& to,
                                                         const std::string& where) {
        return &from == &to || from.same_as(to) ? nullptr : from.way_to(to, where);
    }

    Crs m_base;
    Turn m_turn;
};

}  // namespace

Crs turned_crs(const Crs& base, Point origin, double turn_deg) {
    if (!base.given() || base.is_geographic()) {
        internal_error("a turned plane of a CRS in degrees");
    }
    const double radians = turn_deg * std::numbers::pi / 180.0;
    return Crs(std::make_shared<const TurnedCrs>(base, Turn{origin, turn_deg, std::cos(radians), std::sin(radians)}));
}

Crs unturned(const Crs& crs) {
    const auto* const turned = dynamic_cast<const TurnedCrs*>(crs.model());
    return turned != nullptr ? turned->base() : crs;
}

double turn_deg_of(const Crs& crs) {
    const auto* const turned = dynamic_cast<const TurnedCrs*>(crs.model());
    return turned != nullptr ? turned->turn().degrees : 0.0;
}

}  // namespace eaveshed
