// A k-d tree that knows the greatest tier among the points that lie at or above a given one in every criterion.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace eaveshed {

// Built over all points, then filled one by one. Not for use by several threads at once.
class TierTree {
public:
    // `values`: row-major, `criteria` >= 1 numbers a point; kept by reference.
    TierTree(std::span<const double> values, std::size_t criteria);

    // Greatest tier among the points put in that are at least as great as `point` in every criterion; 0: none.
    [[nodiscard]] std::int32_t greatest_tier_above(std::uint32_t point) const;
    // Puts the point in, once.
    void put(std::uint32_t point, std::int32_t tier);

private:
    // Of the points put in below it. Child nodes are 2 i + 1 and 2 i + 2.
    struct Node {
        std::uint32_t begin = 0;  // all its points, in m_points
        std::uint32_t end = 0;
        std::int32_t tier = 0;
        bool leaf = false;
    };

    void build(std::size_t node, std::uint32_t begin, std::uint32_t end, std::size_t depth);
    void search(std::size_t node, const double* wanted, std::int32_t& best) const;
    void search_leaf(const Node& leaf, const double* wanted, std::int32_t& best) const;
    [[nodiscard]] bool reaches(std::size_t node, const double* wanted) const;
    [[nodiscard]] bool lies_above(std::size_t node, const double* wanted) const;
    [[nodiscard]] const double* row(std::uint32_t point) const { return m_values.data() + point * m_criteria; }

    std::span<const double> m_values;
    std::size_t m_criteria;
    std::vector<std::uint32_t> m_points;
    std::vector<std::uint32_t> m_place;  // of a point in m_points
    std::vector<std::int32_t> m_tiers;   // by place
    std::vector<double> m_rows;          // by place
    std::vector<Node> m_nodes;
    std::vector<double> m_low;  // m_criteria a node: least and greatest of the points put in
    std::vector<double> m_high;
};

}  // namespace eaveshed
