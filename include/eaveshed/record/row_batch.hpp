// Rows made ready for a result, many at a time and without an object a value: whoever makes them need not be the one
// who writes.
#pragma once

#include <algorithm>
#include <cstddef>
#include <memory>
#include <memory_resource>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// Rows of any layers, in the order in which they came. What a row's texts are made from need not outlive the call.
class RowBatch {
public:
    struct Row {
        std::size_t layer = 0;  // position among the layers
        std::span<const unsigned char> geometry;
        Box box;  // of the geometry
        std::span<const ValueView> values;
    };

    // The next row: what is put from now on is of this one.
    void begin(std::size_t layer) { m_rows.push_back({layer, m_values.size(), {}, {}}); }
    // The row's geometry, as the writer stores it.
    void put_geometry(std::span<const unsigned char> geometry, const Box& box) {
        auto* const room = static_cast<unsigned char*>(m_bytes->allocate(geometry.size(), 1));
        std::ranges::copy(geometry, room);
        m_rows.back().geometry = {room, geometry.size()};
        m_rows.back().box = box;
    }
    void put(const ValueView& value) {
        const auto* const text = std::get_if<std::string_view>(&value);
        m_values.push_back(text != nullptr ? ValueView(kept(*text)) : value);
    }
    // All columns of the row.
    template <typename OutputRow>
    void put_columns(const OutputRow& row) {
        visit_fields(row, [this](const Field&, const auto& member) { this->put_member(member); });
    }
    // The US twins of the columns that were put, null where the SI value is null.
    void put_us_twins(const std::vector<Column>& columns) {
        const std::size_t first = m_rows.back().first_value;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].us) {
                const double* const si = std::get_if<double>(&m_values[first + i]);
                m_values.push_back(si != nullptr ? ValueView(*si * columns[i].us->factor) : ValueView());
            }
        }
    }

    [[nodiscard]] std::size_t size() const { return m_rows.size(); }
    // Valid as long as nothing is added.
    [[nodiscard]] Row row(std::size_t position) const {
        const Head& head = m_rows[position];
        const std::size_t end = position + 1 < m_rows.size() ? m_rows[position + 1].first_value : m_values.size();
        return {head.layer, head.geometry, head.box,
                std::span(m_values).subspan(head.first_value, end - head.first_value)};
    }
    // Of the last row.
    [[nodiscard]] std::size_t layer() const { return m_rows.back().layer; }

private:
    struct Head {
        std::size_t layer = 0;
        std::size_t first_value = 0;
        std::span<const unsigned char> geometry;
        Box box;
    };
    [[nodiscard]] std::string_view kept(std::string_view text) {
        if (text.empty()) {
            return "";
        }
        auto* const room = static_cast<char*>(m_bytes->allocate(text.size(), 1));
        std::ranges::copy(text, room);
        return {room, text.size()};
    }
    // A member as its column holds it, as to_value() says; words of closed lists stay where they are.
    template <typename Member>
    void put_member(const Member& member) {
        if constexpr (HasTerms<Member>) {
            m_values.emplace_back(to_text(member));
        } else if constexpr (std::is_same_v<Member, bool>) {
            m_values.emplace_back(std::int64_t{member ? 1 : 0});
        } else if constexpr (std::is_same_v<Member, Flags>) {
            m_values.emplace_back(kept(to_text(member)));
        } else if constexpr (std::is_same_v<Member, std::string>) {
            m_values.emplace_back(kept(member));
        } else {
            m_values.emplace_back(member);
        }
    }
    template <typename T>
    void put_member(const std::optional<T>& member) {
        if (member) {
            put_member(*member);
        } else {
            m_values.emplace_back();
        }
    }

    std::vector<Head> m_rows;
    std::vector<ValueView> m_values;  // row after row
    // Texts and geometries; behind a pointer, since what lies in it stays where it is when the batch is handed on.
    std::unique_ptr<std::pmr::monotonic_buffer_resource> m_bytes =
        std::make_unique<std::pmr::monotonic_buffer_resource>();
};

}  // namespace eaveshed
