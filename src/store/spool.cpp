#include "eaveshed/store/spool.hpp"

#include <algorithm>
#include <span>
#include <string_view>
#include <type_traits>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/bytes.hpp"
#include "eaveshed/files/spill_array.hpp"
#include "eaveshed/store/rows_file.hpp"
#include "packed_rows.hpp"

namespace eaveshed {

namespace {

constexpr std::uint64_t kRowsAtATime = 512;

void put(ByteWriter& out, Flags flags) {
    out.put(flags.bits());
}
template <typename Member>
void put(ByteWriter& out, const Member& member) {
    out.put(member);
}

void get(ByteReader& in, Flags& flags) {
    flags = Flags(in.get<std::uint32_t>());
}
template <typename Member>
void get(ByteReader& in, Member& member) {
    in.get(member);
}

// Of a row's columns those that a tile fills; the others come after the spool. A tile that fills one of them all the
// same is a defect.
template <typename Row>
void pack_columns(const Row& row, ByteWriter& out) {
    static const Row untouched;
    const auto pack = [&]<typename Member>(const MemberColumn<Row, Member>& column) {
        if (filled_by<Row>(column.field) == FilledBy::tile) {
            if constexpr (kFixedWidth<Member>) {
                put(out, row.*column.member);
            }
        } else if (row.*column.member != untouched.*column.member) {
            internal_error("a tile filled " + std::string(column.field.name) + ", which its table says others fill");
        }
    };
    visit_columns<Row>(pack);
}

template <typename Row>
void unpack_columns(ByteReader& in, Row& row) {
    visit_fields(row, [&]<typename Member>(const Field& field, Member& member) {
        if constexpr (kFixedWidth<Member>) {
            if (filled_by<Row>(field) == FilledBy::tile) {
                get(in, member);
            }
        }
    });
}

template <typename Io>
void each_coordinate(Point& place, const Io& io) {
    io(place.x);
    io(place.y);
}
template <typename Io>
void each_coordinate(Segment& place, const Io& io) {
    each_coordinate(place.from, io);
    each_coordinate(place.to, io);
}

// A row with a place, or as many bytes where there is none.
template <typename Row>
void pack_place(const std::optional<Row>& given, ByteWriter& out) {
    Row row = given.value_or(Row{});
    out.put(static_cast<std::uint8_t>(given.has_value()));
    each_coordinate(row.place, [&](double coordinate) { out.put(coordinate); });
    pack_columns(row, out);
}

template <typename Row>
void unpack_place(ByteReader& in, std::optional<Row>& given) {
    const bool present = in.get<std::uint8_t>() != 0;
    Row row;
    each_coordinate(row.place, [&](double& coordinate) { in.get(coordinate); });
    unpack_columns(in, row);
    if (present) {
        given = std::move(row);
    }
}

// As many rows as there are scenarios, or none and as many bytes.
void pack_scenarios(const std::vector<ScenarioRow>& rows, std::size_t count, ByteWriter& out) {
    if (!rows.empty() && rows.size() != count) {
        internal_error("another number of scenarios than the plan");
    }
    out.put(static_cast<std::uint8_t>(!rows.empty()));
    const ScenarioRow none;
    for (std::size_t i = 0; i < count; ++i) {
        pack_columns(i < rows.size() ? rows[i] : none, out);
    }
}

void unpack_scenarios(ByteReader& in, std::size_t count, std::vector<ScenarioRow>& rows) {
    const bool present = in.get<std::uint8_t>() != 0;
    rows.resize(count);
    for (ScenarioRow& row : rows) {
        unpack_columns(in, row);
    }
    if (!present) {
        rows.clear();
    }
}

std::size_t rows_of_curve(const SpoolFormat& format) {
    return format.curve ? format.option_count : 0;
}

}  // namespace

void pack(const RoofRows& result, const SpoolFormat& format, ByteWriter& out) {
    if (!result.curve.empty() && result.curve.size() != format.option_count) {
        internal_error("a roof with another number of storage options than the plan");
    }
    out.put(result.ordinal);
    pack_columns(result.roof, out);
    pack_place(result.use_point, out);
    pack_place(result.pad, out);
    pack_place(result.fill, out);
    pack_place(result.feed, out);
    pack_place(result.shared_fill, out);
    out.put(static_cast<std::uint8_t>(result.connected));
    out.put(static_cast<std::uint8_t>(!result.curve.empty()));
    const CurveRow no_option;
    for (std::size_t i = 0; i < rows_of_curve(format); ++i) {
        pack_columns(i < result.curve.size() ? result.curve[i] : no_option, out);
    }
    pack_scenarios(result.scenarios, format.scenario_count, out);
}

RoofRows unpack(std::span<const unsigned char> bytes, const SpoolFormat& format, std::string_view where) {
    ByteReader in(bytes, where);
    RoofRows result;
    in.get(result.ordinal);
    unpack_columns(in, result.roof);
    unpack_place(in, result.use_point);
    unpack_place(in, result.pad);
    unpack_place(in, result.fill);
    unpack_place(in, result.feed);
    unpack_place(in, result.shared_fill);
    result.connected = in.get<std::uint8_t>() != 0;
    const bool has_curve = in.get<std::uint8_t>() != 0;
    result.curve.resize(rows_of_curve(format));
    for (CurveRow& row : result.curve) {
        unpack_columns(in, row);
    }
    if (!has_curve) {
        result.curve.clear();
    }
    unpack_scenarios(in, format.scenario_count, result.scenarios);
    return result;
}

namespace {

// At most one row an option, and as many bytes whatever their number.
void pack_options(const std::vector<ParcelOptionRow>& rows, std::size_t most, ByteWriter& out) {
    if (rows.size() > most) {
        internal_error("a parcel with more storage options than the plan");
    }
    out.put(static_cast<std::uint64_t>(rows.size()));
    const ParcelOptionRow none;
    for (std::size_t i = 0; i < most; ++i) {
        pack_columns(i < rows.size() ? rows[i] : none, out);
    }
}

void unpack_options(ByteReader& in, std::size_t most, std::vector<ParcelOptionRow>& rows) {
    const auto count = static_cast<std::size_t>(std::min<std::uint64_t>(in.get<std::uint64_t>(), most));
    rows.resize(most);
    for (ParcelOptionRow& row : rows) {
        unpack_columns(in, row);
    }
    rows.resize(count);
}

constexpr std::size_t kQuestionsKept = 3;

void pack_outcome(const ParcelOutcome& outcome, ByteWriter& out) {
    out.put(outcome.forbearance_m3);
    out.put(outcome.stream_gain_lps);
    out.put(outcome.gravity_check);
}

ParcelOutcome unpack_outcome(ByteReader& in) {
    ParcelOutcome outcome;
    in.get(outcome.forbearance_m3);
    in.get(outcome.stream_gain_lps);
    in.get(outcome.gravity_check);
    return outcome;
}

}  // namespace

void pack(const ParcelRows& result, const SpoolFormat& format, ByteWriter& out) {
    out.put(result.ordinal);
    pack_columns(result.parcel, out);
    pack_place(result.pad, out);
    pack_place(result.feed, out);
    out.put(result.pad_roof);
    out.put(static_cast<std::uint8_t>(result.questions.size()));
    for (std::size_t i = 0; i < kQuestionsKept; ++i) {
        const QuestionToAsk question = i < result.questions.size() ? result.questions[i] : QuestionToAsk{};
        out.put(question.question);
        out.put(question.change);
        pack_outcome(question.low, out);
        pack_outcome(question.high, out);
    }
    pack_options(result.options, format.option_count, out);
    pack_scenarios(result.scenarios, format.scenario_count, out);
}

ParcelRows unpack_parcel(std::span<const unsigned char> bytes, const SpoolFormat& format, std::string_view where) {
    ByteReader in(bytes, where);
    ParcelRows result;
    in.get(result.ordinal);
    unpack_columns(in, result.parcel);
    unpack_place(in, result.pad);
    unpack_place(in, result.feed);
    in.get(result.pad_roof);
    const std::size_t asked = std::min<std::size_t>(in.get<std::uint8_t>(), kQuestionsKept);
    result.questions.resize(kQuestionsKept);
    for (QuestionToAsk& question : result.questions) {
        in.get(question.question);
        in.get(question.change);
        question.low = unpack_outcome(in);
        question.high = unpack_outcome(in);
    }
    result.questions.resize(asked);
    unpack_options(in, format.option_count, result.options);
    unpack_scenarios(in, format.scenario_count, result.scenarios);
    return result;
}

void refuse(const std::filesystem::path& path, const std::string& found) {
    throw working_error(path.string(), found, "the rows of this run as they were written",
                        "delete the file and let its rows be computed again");
}

std::size_t packed_width(const SpoolFormat& format) {
    ByteWriter out;
    pack(RoofRows{}, format, out);
    return out.bytes().size();
}

std::size_t packed_parcel_width(const SpoolFormat& format) {
    ByteWriter out;
    pack(ParcelRows{}, format, out);
    return out.bytes().size();
}

namespace {

// Fixed-width rows of several files, numbered file after file, each found by its ordinal.
class OrdinalRows {
public:
    using Region = RowsRegion& (RowsFile::*)();

    OrdinalRows(std::vector<RowsFile>& files, Region region, std::uint64_t count, const std::filesystem::path& scratch)
        : m_files(files), m_region(region), m_place(scratch) {
        m_place.resize(count, kNowhere);
        for (RowsFile& file : files) {
            m_first.push_back(m_rows);
            for (const std::uint32_t ordinal : (file.*region)().ordinals) {
                if (ordinal >= m_place.size() || m_place[ordinal] != kNowhere) {
                    refuse(file.path(), "a row that belongs to no input row or came before");
                }
                m_place[ordinal] = m_rows++;
            }
            (file.*region)().ordinals = {};
        }
    }

    [[nodiscard]] bool has(std::uint64_t ordinal) const {
        return ordinal < m_place.size() && m_place[ordinal] != kNowhere;
    }
    [[nodiscard]] bool complete() const { return m_rows == m_place.size(); }
    void rest() const { m_place.rest(); }
    // One alone where the last one asked for lay elsewhere; ahead while they follow each other.
    [[nodiscard]] std::span<const unsigned char> row(std::uint64_t ordinal) {
        const std::uint32_t place = m_place[ordinal];
        if (place < m_buffer_first || place >= m_buffer_end) {
            const std::uint64_t read = m_buffer_end - m_buffer_first;
            read_from(place, place == m_buffer_end ? std::min(2 * read + 1, kRowsAtATime) : 1);
        }
        return std::span<const unsigned char>(m_buffer).subspan((place - m_buffer_first) * m_width, m_width);
    }

private:
    static constexpr std::uint32_t kNowhere = 0xFFFFFFFFU;

    // Of one file.
    void read_from(std::uint32_t place, std::uint64_t most) {
        const auto after = std::ranges::upper_bound(m_first, place);
        const std::uint32_t end = after == m_first.end() ? m_rows : *after;
        RowsFile& file = m_files[static_cast<std::size_t>(after - m_first.begin()) - 1];
        const RowsRegion& region = (file.*m_region)();
        m_width = region.width;
        m_buffer_first = place;
        m_buffer_end = place + static_cast<std::uint32_t>(std::min<std::uint64_t>(end - place, most));
        m_buffer.resize((m_buffer_end - m_buffer_first) * m_width);
        file.read(region.begin + std::uint64_t{place - *(after - 1)} * m_width, m_buffer);
    }

    std::vector<RowsFile>& m_files;
    Region m_region;
    SpillArray<std::uint32_t> m_place;   // of each ordinal's row among all
    std::vector<std::uint32_t> m_first;  // by file: its first row among all
    std::uint32_t m_rows = 0;
    std::size_t m_width = 0;
    std::vector<unsigned char> m_buffer;  // rows from m_buffer_first on
    std::uint32_t m_buffer_first = 0;
    std::uint32_t m_buffer_end = 0;
};

}  // namespace

struct GatheredRows::Impl {
    Impl(SpoolFormat format_, InputRows count, std::vector<RowsFile> files_, const std::filesystem::path& scratch)
        : format(std::move(format_)),
          files(std::move(files_)),
          roofs(files, &RowsFile::roofs, count.roofs, scratch),
          parcels(files, &RowsFile::parcels, count.parcels, scratch) {}

    SpoolFormat format;
    std::vector<RowsFile> files;
    OrdinalRows roofs;
    OrdinalRows parcels;
};

GatheredRows::GatheredRows(const SpoolFormat& format, InputRows count, std::vector<RowsFile> files,
                           const std::filesystem::path& scratch)
    : m_impl(std::make_unique<Impl>(format, count, std::move(files), scratch)) {}
GatheredRows::~GatheredRows() = default;
GatheredRows::GatheredRows(GatheredRows&&) noexcept = default;
GatheredRows& GatheredRows::operator=(GatheredRows&&) noexcept = default;

bool GatheredRows::complete() const {
    return m_impl->roofs.complete();
}

void GatheredRows::rest() {
    m_impl->roofs.rest();
    m_impl->parcels.rest();
}

RoofRows GatheredRows::roof(std::uint64_t ordinal) {
    if (!m_impl->roofs.has(ordinal)) {
        internal_error("a row was asked for that no tile gave");
    }
    return unpack(m_impl->roofs.row(ordinal), m_impl->format, "rows");
}

std::optional<ParcelRows> GatheredRows::parcel(std::uint64_t ordinal) {
    return m_impl->parcels.has(ordinal)
               ? std::optional(unpack_parcel(m_impl->parcels.row(ordinal), m_impl->format, "rows"))
               : std::nullopt;
}

}  // namespace eaveshed
