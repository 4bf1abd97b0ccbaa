#include "eaveshed/plan/kept_plan.hpp"

#include <algorithm>
#include <functional>
#include <span>
#include <string>
#include <type_traits>
#include <utility>

#include "eaveshed/files/bytes.hpp"
#include "eaveshed/files/checked_file.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/shape/measure.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr const char* kMagic = "eaveshed plan 2\n";
constexpr const char* kWholeName = "whole.plan";

// Members in one order for both directions.
template <typename Visitor>
void visit_point(Point& point, Visitor&& visit) {
    visit(point.x);
    visit(point.y);
}

struct Packer {
    ByteWriter& out;

    template <typename T>
    void operator()(T& value) {
        out.put(value);
    }
    void operator()(Flags& flags) { out.put(flags.bits()); }
    void operator()(FactSet& facts) { out.put(facts.bits()); }
    void operator()(std::optional<Point>& point) {
        out.put(static_cast<std::uint8_t>(point.has_value()));
        Point held = point.value_or(Point{});
        visit_point(held, *this);
    }
    template <typename Items, typename Each>
    void list(Items& items, Each&& each) {
        out.put(static_cast<std::uint64_t>(items.size()));
        for (auto& item : items) {
            each(item);
            if (out.bytes().size() >= kWrittenAtOnce) {
                write();
            }
        }
    }
    // Where the bytes go when they are many: nowhere for what is written in one go.
    std::function<void()> write = [] {};
    static constexpr std::size_t kWrittenAtOnce = std::size_t{1} << 20U;
};

struct Unpacker {
    ByteReader& in;

    template <typename T>
    void operator()(T& value) {
        in.get(value);
    }
    void operator()(Flags& flags) { flags = Flags(in.get<std::uint32_t>()); }
    void operator()(FactSet& facts) { facts = FactSet(in.get<std::uint32_t>()); }
    void operator()(std::optional<Point>& point) {
        const bool present = in.get<std::uint8_t>() != 0;
        Point held;
        visit_point(held, *this);
        point = present ? std::optional(held) : std::nullopt;
    }
    template <typename Items, typename Each>
    void list(Items& items, Each&& each) {
        const auto count = in.get<std::uint64_t>();
        if (count > in.left()) {
            throw working_error("plan", "a list longer than its file", "", "make the plan again");
        }
        items.resize(static_cast<std::size_t>(count));
        for (auto& item : items) {
            each(item);
        }
    }
};

template <typename Walker>
void walk_roofs_and_sites(Plan& plan, Walker& walk) {
    walk.list(plan.roofs, [&](PlannedRoof& roof) {
        walk(roof.record);
        walk(roof.parcel);
        walk(roof.status);
        walk(roof.flags);
    });
    walk.list(plan.parcels, [&](PlannedParcel& parcel) {
        walk(parcel.record);
        walk(parcel.id_begin);
        walk(parcel.id_length);
        walk(parcel.use_point);
        walk(parcel.diversion);
        walk(parcel.nearest_reach_m);
        walk(parcel.contact);
        walk(parcel.measured);
        walk(parcel.inside_share);
        walk(parcel.owner_group);
    });
    walk.list(plan.parcel_ids, walk);
    walk.list(plan.site_roofs, walk);
    walk.list(plan.sites, [&](PlannedSite& site) {
        walk(site.parcel);
        walk(site.first);
        walk(site.count);
    });
    walk.list(plan.tiles, [&](PlannedTile& tile) {
        walk(tile.first);
        walk(tile.count);
    });
}

// Only what the output tells of them: what they mean stands in the records.
template <typename Walker>
void walk_overrides(Plan& plan, Walker& walk) {
    walk.list(plan.overrides.rows, [&](OverrideRow& row) {
        visit_fields(row, [&](const Field& /*field*/, auto& member) { walk(member); });
    });
}

void walk_box(Box& box, auto& walk) {
    walk(box.x_min);
    walk(box.y_min);
    walk(box.x_max);
    walk(box.y_max);
}

// What lies around the roofs of a slice: places with their boxes.
struct SlicePlaces {
    std::vector<Box> obstacle_boxes;
    std::vector<Box> road_boxes;
};

template <typename Walker>
void walk_slice(PlanSlice& slice, SlicePlaces& places, Walker& walk) {
    walk_roofs_and_sites(slice.plan, walk);
    walk.list(slice.roof_ordinals, walk);
    walk.list(slice.parcel_ordinals, walk);
    const auto walk_boxes = [&](auto& boxes) { walk.list(boxes, [&](Box& box) { walk_box(box, walk); }); };
    walk_boxes(slice.plan.roof_boxes);
    walk.list(slice.plan.obstacles, walk);
    walk_boxes(places.obstacle_boxes);
    walk.list(slice.plan.roads, walk);
    walk_boxes(places.road_boxes);
}

Plan open_records(const fs::path& folder) {
    Plan plan;
    plan.footprint_store = RecordStore::finished(folder / "footprints.records");
    plan.parcel_store = RecordStore::finished(folder / "parcels.records");
    plan.obstacle_store = RecordStore::finished(folder / "obstacles.records");
    plan.road_store = RecordStore::finished(folder / "roads.records");
    return plan;
}

// Makes a slice of a plan.
class Slicer {
public:
    Slicer(const Plan& plan, const SliceOf& of) : m_plan(plan), m_of(of) {}

    void take_tiles();
    void take_neighbours();

    PlanSlice slice;
    SlicePlaces places;

private:
    [[nodiscard]] std::vector<Box> boxes_in_reach() const;
    [[nodiscard]] std::vector<std::uint32_t> found_in(const BoxIndex& index, const std::vector<Box>& reach) const;
    void take_roofs(const std::vector<std::uint32_t>& roofs);
    void take_sites();
    [[nodiscard]] std::uint32_t number_of_roof(std::uint32_t ordinal) const;
    [[nodiscard]] std::uint32_t number_of_parcel(std::uint32_t ordinal) const;

    const Plan& m_plan;
    SliceOf m_of;
};

std::uint32_t position_in(const std::vector<std::uint64_t>& ascending, std::uint32_t value) {
    const auto found = std::ranges::lower_bound(ascending, std::uint64_t{value});
    return found != ascending.end() && *found == value ? static_cast<std::uint32_t>(found - ascending.begin()) : kNone;
}

std::uint32_t Slicer::number_of_roof(std::uint32_t ordinal) const {
    return position_in(slice.roof_ordinals, ordinal);
}

std::uint32_t Slicer::number_of_parcel(std::uint32_t ordinal) const {
    return ordinal == kNone ? kNone : position_in(slice.parcel_ordinals, ordinal);
}

// A box a tile: that of its roofs, and as far around it as anything can matter to them.
std::vector<Box> Slicer::boxes_in_reach() const {
    std::vector<Box> boxes;
    for (std::size_t tile = m_of.first; tile < m_of.first + m_of.count; ++tile) {
        Box box;
        for (std::uint32_t i = 0; i < m_plan.tiles[tile].count; ++i) {
            const PlannedSite& site = m_plan.sites[m_plan.tiles[tile].first + i];
            for (std::uint32_t k = 0; k < site.count; ++k) {
                box.add(m_plan.roof_boxes[m_plan.site_roofs[site.first + k]]);
            }
        }
        if (!box.empty()) {
            boxes.push_back(box.grown(m_of.reach_x, m_of.reach_y));
        }
    }
    return boxes;
}

std::vector<std::uint32_t> Slicer::found_in(const BoxIndex& index, const std::vector<Box>& reach) const {
    std::vector<std::uint32_t> found;
    for (const Box& box : reach) {
        index.visit(box, [&](std::uint32_t position) { found.push_back(position); });
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

// Ascending ordinals of the roofs to take: those of the tiles, and their neighbours.
void Slicer::take_roofs(const std::vector<std::uint32_t>& roofs) {
    slice.roof_ordinals.assign(roofs.begin(), roofs.end());
    for (const std::uint32_t ordinal : roofs) {
        slice.plan.roofs.push_back(m_plan.roofs[ordinal]);
        slice.plan.roofs.back().parcel = number_of_parcel(m_plan.roofs[ordinal].parcel);
        slice.plan.roof_boxes.push_back(m_plan.roof_boxes[ordinal]);
    }
}

void Slicer::take_sites() {
    for (std::size_t tile = m_of.first; tile < m_of.first + m_of.count; ++tile) {
        const PlannedTile& planned = m_plan.tiles[tile];
        slice.plan.tiles.push_back({static_cast<std::uint32_t>(slice.plan.sites.size()), planned.count});
        for (std::uint32_t i = 0; i < planned.count; ++i) {
            PlannedSite site = m_plan.sites[planned.first + i];
            const std::uint32_t first =
                std::exchange(site.first, static_cast<std::uint32_t>(slice.plan.site_roofs.size()));
            site.parcel = number_of_parcel(site.parcel);
            slice.plan.sites.push_back(site);
            for (std::uint32_t k = 0; k < site.count; ++k) {
                slice.plan.site_roofs.push_back(number_of_roof(m_plan.site_roofs[first + k]));
            }
        }
    }
}

void Slicer::take_tiles() {
    std::vector<std::uint32_t> parcels;
    std::vector<std::uint32_t> roofs = found_in(m_plan.roof_index, boxes_in_reach());
    for (std::size_t tile = m_of.first; tile < m_of.first + m_of.count; ++tile) {
        for (std::uint32_t i = 0; i < m_plan.tiles[tile].count; ++i) {
            const PlannedSite& site = m_plan.sites[m_plan.tiles[tile].first + i];
            for (std::uint32_t k = 0; k < site.count; ++k) {
                roofs.push_back(m_plan.site_roofs[site.first + k]);
            }
            if (site.parcel != kNone) {
                parcels.push_back(site.parcel);
            }
        }
    }
    std::ranges::sort(parcels);
    std::ranges::sort(roofs);
    roofs.erase(std::unique(roofs.begin(), roofs.end()), roofs.end());
    slice.parcel_ordinals.assign(parcels.begin(), parcels.end());
    for (const std::uint32_t parcel : parcels) {
        PlannedParcel& taken = slice.plan.add_parcel(0, m_plan.parcel_id(parcel));
        const PlannedParcel in_slice = taken;
        taken = m_plan.parcels[parcel];
        taken.id_begin = in_slice.id_begin;
    }
    take_roofs(roofs);
    take_sites();
}

void Slicer::take_neighbours() {
    const std::vector<Box> reach = boxes_in_reach();
    for (const std::uint32_t position : found_in(m_plan.obstacle_index, reach)) {
        const ObstacleRecord record = m_plan.obstacle(position);
        slice.plan.obstacles.push_back(m_plan.obstacles[position]);
        places.obstacle_boxes.push_back(record.line.empty() ? bounds(record.area) : bounds(record.line));
    }
    for (const std::uint32_t position : found_in(m_plan.road_index, reach)) {
        slice.plan.roads.push_back(m_plan.roads[position]);
        places.road_boxes.push_back(bounds(m_plan.road(position)));
    }
}

}  // namespace

void keep_whole(const Plan& plan, const fs::path& folder) {
    ByteWriter out;
    CheckedWriter file(folder / kWholeName);
    Packer pack{out};
    pack.write = [&] {
        file.write(out.bytes());
        out.bytes().clear();
    };
    out.put(std::string(kMagic));
    // Packing changes nothing; the walk is one for both directions.
    auto& walked = const_cast<Plan&>(plan);  // NOLINT(cppcoreguidelines-pro-type-const-cast)
    walk_roofs_and_sites(walked, pack);
    walk_overrides(walked, pack);
    pack.write();
    file.finish();
}

Plan kept_whole(const fs::path& folder, const fs::path& scratch) {
    Plan plan = open_records(folder);
    plan.keep_lists_in(scratch);
    const fs::path path = folder / kWholeName;
    const CheckedReader file(path);
    ByteReader in(
        file.size(), [&file](std::uint64_t offset, std::span<unsigned char> bytes) { file.read_at(offset, bytes); },
        path.native());
    Unpacker unpack{in};
    static_cast<void>(in.get<std::string>());
    walk_roofs_and_sites(plan, unpack);
    walk_overrides(plan, unpack);
    return plan;
}

InputRows keep_slice(const Plan& plan, const SliceOf& of, const fs::path& file) {
    Slicer slicer(plan, of);
    slicer.take_tiles();
    slicer.take_neighbours();
    ByteWriter out;
    Packer pack{out};
    out.put(std::string(kMagic));
    walk_slice(slicer.slice, slicer.places, pack);
    write_checked(file, out.bytes());
    return {slicer.slice.plan.roofs.size(), slicer.slice.plan.parcels.size()};
}

PlanSlice kept_slice(const fs::path& folder, const fs::path& file) {
    PlanSlice slice{open_records(folder), {}, {}};
    const std::vector<unsigned char> bytes = read_checked(file);
    ByteReader in(bytes, file.native());
    Unpacker unpack{in};
    static_cast<void>(in.get<std::string>());
    SlicePlaces places;
    walk_slice(slice, places, unpack);
    slice.plan.roof_index = BoxIndex(slice.plan.roof_boxes);
    slice.plan.obstacle_index = BoxIndex(places.obstacle_boxes);
    slice.plan.road_index = BoxIndex(places.road_boxes);
    return slice;
}

}  // namespace eaveshed
