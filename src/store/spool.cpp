#include "eaveshed/store/spool.hpp"

#include <algorithm>
#include <cstring>
#include <mutex>
#include <span>
#include <string_view>
#include <type_traits>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/bytes.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/fingerprint.hpp"

namespace eaveshed {

namespace {

constexpr const char* kMagic = "eaveshed rows 6\n";
constexpr std::size_t kDigestChars = 64;
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

std::filesystem::path tile_path(const std::filesystem::path& folder, std::uint64_t tile) {
    return folder / (std::to_string(tile) + ".rows");
}

std::vector<unsigned char> header(const SpoolFormat& format, InputRows rows) {
    ByteWriter out;
    out.put(std::string(kMagic));
    out.put(format.plan);
    out.put(static_cast<std::uint64_t>(packed_width(format)));
    out.put(static_cast<std::uint64_t>(packed_parcel_width(format)));
    out.put(rows.roofs);
    out.put(rows.parcels);
    return std::move(out.bytes());
}

[[noreturn]] void refuse(const std::filesystem::path& path, const std::string& found) {
    throw working_error(path.string(), found, "the rows of this run as they were written",
                        "delete the work folder and run again");
}

}  // namespace

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

void write_tile(const std::filesystem::path& folder, std::uint64_t tile, const SpoolFormat& format,
                const TileRows& result) {
    const std::vector<unsigned char> head = header(format, {result.roofs.size(), result.parcels.size()});
    ByteWriter out(head.size() + result.roofs.size() * packed_width(format) +
                   result.parcels.size() * packed_parcel_width(format) + kDigestChars);
    out.bytes() = head;
    for (const RoofRows& roof : result.roofs) {
        pack(roof, format, out);
    }
    for (const ParcelRows& parcel : result.parcels) {
        pack(parcel, format, out);
    }
    const std::string digest = sha256_hex(out.bytes());
    out.bytes().insert(out.bytes().end(), digest.begin(), digest.end());
    const std::filesystem::path path = tile_path(folder, tile);
    std::filesystem::path draft = path;
    draft += ".part";
    {
        File file(draft, File::Mode::create);
        file.write_at(0, out.bytes());
    }
    move_into_place(draft, path);  // not synced: a file torn by a crash fails its checksum
}

namespace {

// Fixed-width rows in one file, tile after tile as they come, each found by its ordinal.
class OrdinalFile {
public:
    OrdinalFile(const std::filesystem::path& path, std::size_t width, std::uint64_t count)
        : m_width(width), m_file(path, File::Mode::create), m_place(count, kNowhere) {}

    // Takes the rows of one tile; `from` names their file.
    void add(std::span<const unsigned char> rows, const std::filesystem::path& from) {
        m_file.write_at(m_count * m_width, rows);
        for (; !rows.empty(); rows = rows.subspan(m_width)) {
            std::uint64_t ordinal = 0;
            std::memcpy(&ordinal, rows.data(), sizeof ordinal);
            if (ordinal >= m_place.size() || m_place[ordinal] != kNowhere) {
                refuse(from, "a row that belongs to no input row or came before");
            }
            m_place[ordinal] = m_count++;
        }
    }
    [[nodiscard]] bool has(std::uint64_t ordinal) const {
        return ordinal < m_place.size() && m_place[ordinal] != kNowhere;
    }
    [[nodiscard]] bool complete() const { return m_count == m_place.size(); }
    // One alone where the last one asked for lay elsewhere; ahead while they follow each other.
    [[nodiscard]] std::span<const unsigned char> row(std::uint64_t ordinal) {
        const std::uint64_t place = m_place[ordinal];
        const std::uint64_t read = m_buffer.size() / m_width;
        if (place < m_buffer_first || place >= m_buffer_first + read) {
            const bool follows = place == m_buffer_first + read;
            const std::uint64_t ahead = follows ? std::min(2 * read + 1, kRowsAtATime) : 1;
            m_buffer.resize(std::min(m_count - place, ahead) * m_width);
            m_buffer_first = place;
            m_file.read_at(place * m_width, m_buffer);
        }
        return std::span<const unsigned char>(m_buffer).subspan((place - m_buffer_first) * m_width, m_width);
    }

private:
    static constexpr std::uint32_t kNowhere = 0xFFFFFFFFU;

    std::size_t m_width;
    File m_file;
    std::vector<std::uint32_t> m_place;  // of each ordinal's row in the file
    std::uint32_t m_count = 0;
    std::vector<unsigned char> m_buffer;  // rows from m_buffer_first on
    std::uint64_t m_buffer_first = 0;
};

std::filesystem::path beside(const std::filesystem::path& path, const char* suffix) {
    std::filesystem::path other = path;
    other += suffix;
    return other;
}

}  // namespace

struct GatheredRows::Impl {
    Impl(const std::filesystem::path& path_, SpoolFormat format_, InputRows count)
        : path(path_),
          format(std::move(format_)),
          roof_width(packed_width(format)),
          parcel_width(packed_parcel_width(format)),
          roofs(beside(path_, ".roofs"), roof_width, count.roofs),
          parcels(beside(path_, ".parcels"), parcel_width, count.parcels) {}

    void add(const std::filesystem::path& tile_file);

    std::mutex adding;
    std::filesystem::path path;
    SpoolFormat format;
    std::size_t roof_width;
    std::size_t parcel_width;
    OrdinalFile roofs;
    OrdinalFile parcels;
};

void GatheredRows::Impl::add(const std::filesystem::path& tile_file) {
    const File in(tile_file, File::Mode::read);
    std::vector<unsigned char> bytes(in.size());
    in.read_at(0, bytes);
    if (bytes.size() < kDigestChars) {
        refuse(tile_file, "a file that ends too early");
    }
    const std::span<const unsigned char> content(bytes.data(), bytes.size() - kDigestChars);
    if (std::memcmp(sha256_hex(content).data(), bytes.data() + content.size(), kDigestChars) != 0) {
        refuse(tile_file, "a checksum that does not fit");
    }
    const auto expected = header(format, {});
    const std::size_t fixed = expected.size() - 2 * sizeof(std::uint64_t);  // all but the two counts
    if (content.size() < expected.size() || std::memcmp(expected.data(), content.data(), fixed) != 0) {
        refuse(tile_file, "rows of other inputs, settings or program");
    }
    ByteReader counts(content.subspan(fixed), tile_file.native());
    const auto roof_bytes = counts.get<std::uint64_t>() * roof_width;
    const auto parcel_bytes = counts.get<std::uint64_t>() * parcel_width;
    const auto rows = content.subspan(expected.size());
    if (rows.size() != roof_bytes + parcel_bytes || roof_bytes > rows.size()) {
        refuse(tile_file, "another number of rows than it says");
    }
    const std::scoped_lock lock(adding);
    roofs.add(rows.first(roof_bytes), tile_file);
    parcels.add(rows.subspan(roof_bytes), tile_file);
}

GatheredRows::GatheredRows(const std::filesystem::path& path, const SpoolFormat& format, InputRows count)
    : m_impl(std::make_unique<Impl>(path, format, count)) {}
GatheredRows::~GatheredRows() = default;
GatheredRows::GatheredRows(GatheredRows&&) noexcept = default;
GatheredRows& GatheredRows::operator=(GatheredRows&&) noexcept = default;

void GatheredRows::add(const std::filesystem::path& folder, std::uint64_t tile) {
    m_impl->add(tile_path(folder, tile));
}

bool GatheredRows::complete() const {
    return m_impl->roofs.complete();
}

RoofRows GatheredRows::roof(std::uint64_t ordinal) {
    if (!m_impl->roofs.has(ordinal)) {
        internal_error("a row was asked for that no tile gave");
    }
    return unpack(m_impl->roofs.row(ordinal), m_impl->format, m_impl->path.native());
}

std::optional<ParcelRows> GatheredRows::parcel(std::uint64_t ordinal) {
    return m_impl->parcels.has(ordinal)
               ? std::optional(unpack_parcel(m_impl->parcels.row(ordinal), m_impl->format, m_impl->path.native()))
               : std::nullopt;
}

}  // namespace eaveshed
