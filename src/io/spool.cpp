#include "eaveshed/io/spool.hpp"

#include <algorithm>
#include <cstring>
#include <span>
#include <type_traits>

#include "eaveshed/core/error.hpp"
#include "eaveshed/io/bytes.hpp"
#include "eaveshed/io/file.hpp"
#include "eaveshed/io/fingerprint.hpp"

namespace eaveshed::io {

namespace {

constexpr const char* kMagic = "eaveshed rows 2\n";
constexpr std::size_t kDigestChars = 64;
constexpr std::uint64_t kRowsAtATime = 512;

// Texts are the plan's, found by ordinal; everything else has one width.
struct Packer {
    ByteWriter& out;
    void operator()(const Field&, const std::string&) const {}
    void operator()(const Field&, const std::optional<std::string>&) const {}
    void operator()(const Field&, const Flags& flags) const { out.put(flags.bits()); }
    template <typename T>
    void operator()(const Field&, const T& value) const {
        out.put(value);
    }
};

struct Unpacker {
    ByteReader& in;
    void operator()(const Field&, std::string&) const {}
    void operator()(const Field&, std::optional<std::string>&) const {}
    void operator()(const Field&, Flags& flags) const { flags = Flags(in.get<std::uint32_t>()); }
    template <typename T>
    void operator()(const Field&, T& value) const {
        in.get(value);
    }
};

// A row with a place, or as many bytes where there is none.
template <typename Row>
void pack_place(const std::optional<Row>& given, ByteWriter& out) {
    const Row row = given.value_or(Row{});
    out.put(static_cast<std::uint8_t>(given.has_value()));
    out.put(row.place.x);
    out.put(row.place.y);
    visit_fields(row, Packer{out});
}

template <typename Row>
void unpack_place(ByteReader& in, std::optional<Row>& given) {
    const bool present = in.get<std::uint8_t>() != 0;
    Row row;
    in.get(row.place.x);
    in.get(row.place.y);
    visit_fields(row, Unpacker{in});
    if (present) {
        given = std::move(row);
    }
}

void pack(const RoofResult& result, std::size_t option_count, ByteWriter& out) {
    if (!result.curve.empty() && result.curve.size() != option_count) {
        internal_error("a roof with another number of storage options than the plan");
    }
    out.put(result.ordinal);
    visit_fields(result.roof, Packer{out});
    pack_place(result.use_point, out);
    pack_place(result.pad, out);
    out.put(static_cast<std::uint8_t>(!result.curve.empty()));
    const CurveRow no_option;
    for (std::size_t i = 0; i < option_count; ++i) {
        visit_fields(i < result.curve.size() ? result.curve[i] : no_option, Packer{out});
    }
}

RoofResult unpack(std::span<const unsigned char> bytes, std::size_t option_count, const std::string& where) {
    ByteReader in(bytes, where);
    RoofResult result;
    in.get(result.ordinal);
    visit_fields(result.roof, Unpacker{in});
    unpack_place(in, result.use_point);
    unpack_place(in, result.pad);
    if (in.get<std::uint8_t>() != 0) {
        result.curve.resize(option_count);
        for (CurveRow& row : result.curve) {
            visit_fields(row, Unpacker{in});
        }
    }
    return result;
}

std::filesystem::path tile_path(const std::filesystem::path& folder, std::uint64_t tile) {
    return folder / (std::to_string(tile) + ".rows");
}

std::vector<unsigned char> header(const SpoolFormat& format, std::uint64_t roofs) {
    ByteWriter out;
    out.put(std::string(kMagic));
    out.put(format.plan);
    out.put(static_cast<std::uint64_t>(packed_width(format)));
    out.put(roofs);
    return std::move(out.bytes());
}

[[noreturn]] void refuse(const std::filesystem::path& path, const std::string& found) {
    throw working_error(path.string(), found, "the rows of this run as they were written",
                        "delete the work folder and run again");
}

}  // namespace

std::size_t packed_width(const SpoolFormat& format) {
    ByteWriter out;
    pack(RoofResult{}, format.option_count, out);
    return out.bytes().size();
}

void write_tile(const std::filesystem::path& folder, std::uint64_t tile, const SpoolFormat& format,
                const TileResult& result) {
    ByteWriter out;
    out.bytes() = header(format, result.roofs.size());
    for (const RoofResult& roof : result.roofs) {
        pack(roof, format.option_count, out);
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

struct GatheredRows::Impl {
    Impl(const std::filesystem::path& path_, const SpoolFormat& format_, std::uint64_t count)
        : path(path_), format(format_), width(packed_width(format_)), file(path_, File::Mode::create), seen(count) {}

    // The rows of a tile's file, checked.
    std::span<const unsigned char> rows_of(const std::filesystem::path& tile_file,
                                           std::vector<unsigned char>& bytes) const;

    std::filesystem::path path;
    SpoolFormat format;
    std::size_t width;
    File file;
    std::vector<bool> seen;
    std::uint64_t seen_count = 0;
    std::vector<unsigned char> buffer;  // rows [buffer_first, buffer_first + buffer.size() / width)
    std::uint64_t buffer_first = 0;
};

std::span<const unsigned char> GatheredRows::Impl::rows_of(const std::filesystem::path& tile_file,
                                                           std::vector<unsigned char>& bytes) const {
    const File in(tile_file, File::Mode::read);
    bytes.resize(in.size());
    in.read_at(0, bytes);
    if (bytes.size() < kDigestChars) {
        refuse(tile_file, "a file that ends too early");
    }
    const std::span<const unsigned char> content(bytes.data(), bytes.size() - kDigestChars);
    if (std::memcmp(sha256_hex(content).data(), bytes.data() + content.size(), kDigestChars) != 0) {
        refuse(tile_file, "a checksum that does not fit");
    }
    const std::size_t head = header(format, 0).size();
    if (content.size() < head || (content.size() - head) % width != 0) {
        refuse(tile_file, "rows of another width");
    }
    const std::uint64_t roofs = (content.size() - head) / width;
    if (const auto expected = header(format, roofs); std::memcmp(expected.data(), content.data(), head) != 0) {
        refuse(tile_file, "rows of other inputs, settings or program");
    }
    return content.subspan(head);
}

GatheredRows::GatheredRows(const std::filesystem::path& path, const SpoolFormat& format, std::uint64_t count)
    : m_impl(std::make_unique<Impl>(path, format, count)) {}
GatheredRows::~GatheredRows() = default;
GatheredRows::GatheredRows(GatheredRows&&) noexcept = default;
GatheredRows& GatheredRows::operator=(GatheredRows&&) noexcept = default;

void GatheredRows::add(const std::filesystem::path& folder, std::uint64_t tile) {
    const std::filesystem::path path = tile_path(folder, tile);
    std::vector<unsigned char> bytes;
    for (auto rows = m_impl->rows_of(path, bytes); !rows.empty(); rows = rows.subspan(m_impl->width)) {
        std::uint64_t ordinal = 0;
        std::memcpy(&ordinal, rows.data(), sizeof ordinal);
        if (ordinal >= m_impl->seen.size() || m_impl->seen[ordinal]) {
            refuse(path, "a row that belongs to no input row or came before");
        }
        m_impl->seen[ordinal] = true;
        ++m_impl->seen_count;
        m_impl->file.write_at(ordinal * m_impl->width, rows.first(m_impl->width));
    }
}

bool GatheredRows::complete() const {
    return m_impl->seen_count == m_impl->seen.size();
}

RoofResult GatheredRows::read(std::uint64_t ordinal) {
    Impl& self = *m_impl;
    if (ordinal >= self.seen.size() || !self.seen[ordinal]) {
        internal_error("a row was asked for that no tile gave");
    }
    if (ordinal < self.buffer_first || (ordinal - self.buffer_first + 1) * self.width > self.buffer.size()) {
        const std::uint64_t available = self.file.size() / self.width - ordinal;
        self.buffer.resize(std::min(available, kRowsAtATime) * self.width);
        self.buffer_first = ordinal;
        self.file.read_at(ordinal * self.width, self.buffer);
    }
    const std::span<const unsigned char> bytes(self.buffer);
    return unpack(bytes.subspan((ordinal - self.buffer_first) * self.width, self.width), self.format.option_count,
                  self.path.string());
}

}  // namespace eaveshed::io
