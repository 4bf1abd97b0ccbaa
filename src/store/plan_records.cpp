#include "eaveshed/store/plan_records.hpp"

#include "eaveshed/facts/walk.hpp"
#include "eaveshed/files/bytes.hpp"

namespace eaveshed {

namespace {

// Members in one order for both directions.
template <typename Facts, typename Visitor>
void visit_all(Facts& facts, Visitor&& visit) {
    visit_facts<std::remove_const_t<Facts>>(facts, [&visit](const auto& /*fact*/, auto& value) { visit(value); });
    visit(facts.measured);
}

template <typename Record, typename Visitor>
void visit_footprint(Record& record, Visitor&& visit) {
    visit(record.roof_id);
    visit(record.plan_area_m2);
    visit(record.outline);
    visit(record.interior.x);
    visit(record.interior.y);
    visit(record.latitude_deg);
    visit_all(record.facts, visit);
}

template <typename Record, typename Visitor>
void visit_parcel(Record& record, Visitor&& visit) {
    visit(record.parcel_id);
    visit(record.outline);
    visit(record.interior.x);
    visit(record.interior.y);
    visit(record.area_m2);
    visit_all(record.facts, visit);
}

template <typename Record, typename Visitor>
void visit_obstacle(Record& record, Visitor&& visit) {
    visit(record.layer);
    visit(record.line);
    visit(record.area);
}

struct Packer {
    ByteWriter& out;
    template <typename T>
    void operator()(const T& value) {
        out.put(value);
    }
    void operator()(const FactSet& facts) { out.put(facts.bits()); }
    void operator()(const Ring& ring) {
        out.put(static_cast<std::uint64_t>(ring.size()));
        for (const Point& point : ring) {
            out.put(point.x);
            out.put(point.y);
        }
    }
    void operator()(const MultiPolygon& outline) {
        out.put(static_cast<std::uint64_t>(outline.parts.size()));
        for (const Polygon& part : outline.parts) {
            (*this)(part.outer);
            out.put(static_cast<std::uint64_t>(part.holes.size()));
            for (const Ring& hole : part.holes) {
                (*this)(hole);
            }
        }
    }
};

struct Unpacker {
    ByteReader& in;
    template <typename T>
    void operator()(T& value) {
        in.get(value);
    }
    // A count is believed only as far as bytes are left for so many items.
    std::size_t count(std::size_t item_bytes) {
        const auto n = in.get<std::uint64_t>();
        if (n > in.left() / item_bytes) {
            throw working_error("work file", "a damaged record", "", "run again; the work folder can be deleted");
        }
        return static_cast<std::size_t>(n);
    }
    void operator()(FactSet& facts) { facts = FactSet(in.get<std::uint32_t>()); }
    void operator()(Ring& ring) {
        ring.resize(count(2 * sizeof(double)));
        for (Point& point : ring) {
            in.get(point.x);
            in.get(point.y);
        }
    }
    void operator()(MultiPolygon& outline) {
        outline.parts.resize(count(sizeof(std::uint64_t)));
        for (Polygon& part : outline.parts) {
            (*this)(part.outer);
            part.holes.resize(count(sizeof(std::uint64_t)));
            for (Ring& hole : part.holes) {
                (*this)(hole);
            }
        }
    }
};

constexpr std::size_t kUsualBytes = 512;

}  // namespace

std::vector<unsigned char> packed(const FootprintRecord& record) {
    ByteWriter out(kUsualBytes);
    visit_footprint(record, Packer{out});
    return std::move(out.bytes());
}

std::vector<unsigned char> packed(const ParcelRecord& record) {
    ByteWriter out(kUsualBytes);
    visit_parcel(record, Packer{out});
    return std::move(out.bytes());
}

std::vector<unsigned char> packed(const ObstacleRecord& record) {
    ByteWriter out(kUsualBytes);
    visit_obstacle(record, Packer{out});
    return std::move(out.bytes());
}

FootprintRecord unpacked_footprint(std::span<const unsigned char> bytes) {
    ByteReader in(bytes, "work file of footprints");
    FootprintRecord record;
    visit_footprint(record, Unpacker{in});
    return record;
}

ParcelRecord unpacked_parcel(std::span<const unsigned char> bytes) {
    ByteReader in(bytes, "work file of parcels");
    ParcelRecord record;
    visit_parcel(record, Unpacker{in});
    return record;
}

ObstacleRecord unpacked_obstacle(std::span<const unsigned char> bytes) {
    ByteReader in(bytes, "work file of streams and exclusions");
    ObstacleRecord record;
    visit_obstacle(record, Unpacker{in});
    return record;
}

}  // namespace eaveshed
