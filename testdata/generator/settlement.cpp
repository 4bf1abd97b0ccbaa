#include "settlement.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <stdexcept>
#include <tuple>

namespace demo {
namespace {

struct TakenLot {
    Lot lot;
    std::vector<Building> buildings;
    bool on_record = true;  // has a parcel in the assessor's file
    int joined_to = -1;     // index of the lot whose parcel this one is the second part of
};

auto place(const Lot& lot) {
    return std::tuple(lot.valley, lot.side, lot.lane, lot.first);
}

std::vector<TakenLot> take_lots(const BasinPlan& plan, const LotGrid& grid, const StreamIndex& streams) {
    std::vector<TakenLot> taken;
    int roofs = 0;
    for (const Lot& lot : grid.candidates(streams)) {
        if (roofs >= plan.roofs) {
            break;
        }
        Random random(plan.seed, Purpose::kLotUse, {lot.valley, lot.side, lot.lane, lot.first});
        TakenLot next{lot, make_buildings(plan, grid, lot, streams)};
        next.on_record = next.buildings.empty() || !random.chance(0.035);
        roofs += static_cast<int>(next.buildings.size());
        taken.push_back(std::move(next));
    }
    if (roofs < plan.roofs) {
        throw std::runtime_error(
            fmt::format("only {} roofs find room in {} x {} km: ask for fewer with --roofs, or for more land with "
                        "--width-km and --height-km",
                        roofs, plan.width_m / 1000.0, plan.height_m / 1000.0));
    }
    std::sort(taken.begin(), taken.end(),
              [](const TakenLot& a, const TakenLot& b) { return place(a.lot) < place(b.lot); });
    return taken;
}

// Some families own the house on one side of the road and the garden on the other: one parcel in two parts.
void join_across_road(std::vector<TakenLot>& taken) {
    int wanted = 1 + static_cast<int>(taken.size()) / 1000;
    for (TakenLot& garden : taken) {
        if (wanted == 0) {
            return;
        }
        if (!garden.buildings.empty()) {
            continue;
        }
        for (std::size_t i = 0; i < taken.size(); ++i) {
            const Lot& a = garden.lot;
            const Lot& b = taken[i].lot;
            const bool opposite =
                a.valley == b.valley && a.side == b.side && a.lane / 2 == b.lane / 2 && a.lane != b.lane;
            if (!opposite || taken[i].buildings.empty() || !taken[i].on_record || b.first >= a.last ||
                a.first >= b.last) {
                continue;
            }
            garden.joined_to = static_cast<int>(i);
            --wanted;
            break;
        }
    }
}

std::string apn_text(const Lot& lot, int number) {
    return fmt::format("{:02}{}-{:04}", lot.valley + 1, lot.side < 0 ? 'W' : 'E', number);
}

// What the assessor's table says on each building: mostly right, sometimes nothing, now and then wrong.
void write_parcel_text(Building& b, const std::string& apn, const std::string& previous_apn, Random& random) {
    if (random.chance(0.07)) {
        return;
    }
    b.parcel_text = apn;
    if (random.chance(0.012)) {
        b.parcel_text = apn.substr(0, 3) + "-9" + apn.substr(apn.size() - 3);  // no such parcel
    } else if (random.chance(0.008) && !previous_apn.empty()) {
        b.parcel_text = previous_apn;  // the neighbour's
    }
}

int draw_owner(int& owners, Random& random) {
    if (owners > 3 && random.chance(0.10)) {
        return owners - 1 - random.whole(std::min(owners, 40));
    }
    return owners++;
}

// The assessor's register, written lot by lot.
class Register {
public:
    Register(const BasinPlan& plan, const Terrain& terrain, const LotGrid& grid, const StreamIndex& streams,
             Settlement& out)
        : m_plan(plan), m_terrain(terrain), m_grid(grid), m_streams(streams), m_out(out) {}

    void enter(TakenLot& t) {
        m_parcel_of_lot.push_back(-1);
        if (!t.on_record || t.joined_to >= 0) {
            return;
        }
        Random random(m_plan.seed, Purpose::kOwner, {t.lot.valley, t.lot.side, t.lot.lane, t.lot.first});
        const bool has_house =
            std::any_of(t.buildings.begin(), t.buildings.end(), [](const Building& b) { return b.use == "house"; });
        Parcel parcel = make_parcel(m_plan, m_grid, t.lot, has_house, m_streams);
        parcel.apn = apn_text(t.lot, static_cast<int>(m_out.parcels.size()) + 1);
        parcel.owner = draw_owner(m_owners, random);
        for (Building& b : t.buildings) {
            write_parcel_text(b, parcel.apn, m_previous, random);
        }
        if (const auto tap = make_tap(m_plan, m_terrain, m_grid, t.lot, t.buildings)) {
            m_out.taps.push_back({parcel.apn, *tap});
        }
        m_previous = parcel.apn;
        m_parcel_of_lot.back() = static_cast<int>(m_out.parcels.size());
        m_out.parcels.push_back(std::move(parcel));
    }

    void add_second_parts(const std::vector<TakenLot>& taken) {
        for (const TakenLot& t : taken) {
            if (t.joined_to < 0) {
                continue;
            }
            const int parcel = m_parcel_of_lot[static_cast<std::size_t>(t.joined_to)];
            m_out.parcels[static_cast<std::size_t>(parcel)].parts.push_back(m_grid.ring(t.lot));
        }
    }

private:
    const BasinPlan& m_plan;
    const Terrain& m_terrain;
    const LotGrid& m_grid;
    const StreamIndex& m_streams;
    Settlement& m_out;
    std::vector<int> m_parcel_of_lot;
    std::string m_previous;
    int m_owners = 0;
};

}  // namespace

Settlement settle(const BasinPlan& plan, const Terrain& terrain, const LotGrid& grid, const StreamIndex& streams) {
    std::vector<TakenLot> taken = take_lots(plan, grid, streams);
    join_across_road(taken);
    Settlement out;
    Register record(plan, terrain, grid, streams, out);
    for (TakenLot& t : taken) {
        record.enter(t);
    }
    record.add_second_parts(taken);
    for (TakenLot& t : taken) {
        out.lots.push_back(t.lot);
        std::move(t.buildings.begin(), t.buildings.end(), std::back_inserter(out.buildings));
    }
    return out;
}

}  // namespace demo
