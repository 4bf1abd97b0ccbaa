// A spatial index over boxes: which of them meet a query box.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <memory_resource>
#include <span>
#include <vector>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// Immutable after construction; safe to query from several threads. Empty boxes are never found. About 50 bytes a box,
// of a resource that outlives it.
class BoxIndex {
public:
    BoxIndex();
    // Ids are positions among them.
    explicit BoxIndex(std::span<const Box> boxes, std::pmr::memory_resource* memory = std::pmr::get_default_resource());
    ~BoxIndex();
    BoxIndex(BoxIndex&& other) noexcept;
    BoxIndex& operator=(BoxIndex&& other) noexcept;
    BoxIndex(const BoxIndex& other) = delete;
    BoxIndex& operator=(const BoxIndex& other) = delete;

    [[nodiscard]] bool empty() const { return m_tree == nullptr; }  // made of nothing: finds nothing
    // Ids of boxes that meet the query, edges included, in ascending order.
    [[nodiscard]] std::vector<std::uint32_t> query(const Box& box) const;
    // The same one by one, in no order.
    void visit(const Box& box, const std::function<void(std::uint32_t)>& each) const;

private:
    struct Tree;
    std::unique_ptr<Tree> m_tree;
};

}  // namespace eaveshed
