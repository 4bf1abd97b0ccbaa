#include "eaveshed/shape/box_index.hpp"

#include <algorithm>
#include <limits>
#include <utility>

// This Boost includes headers of its own that it calls deprecated, and says so in every build.
#define BOOST_ALLOW_DEPRECATED_HEADERS
#include <boost/geometry/geometries/box.hpp>
#include <boost/geometry/geometries/point.hpp>
#include <boost/geometry/index/rtree.hpp>
#include <boost/iterator/function_output_iterator.hpp>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

namespace bg = boost::geometry;

using TreePoint = bg::model::point<double, 2, bg::cs::cartesian>;
using TreeBox = bg::model::box<TreePoint>;
using Entry = std::pair<TreeBox, std::uint32_t>;

TreeBox tree_box(const Box& box) {
    return {TreePoint(box.x_min, box.y_min), TreePoint(box.x_max, box.y_max)};
}

}  // namespace

struct BoxIndex::Tree {
    using Allocator = std::pmr::polymorphic_allocator<Entry>;
    using Entries = bg::index::rtree<Entry, bg::index::rstar<16>, bg::index::indexable<Entry>,
                                     bg::index::equal_to<Entry>, Allocator>;

    // Made from a range the tree is packed: fuller nodes and no insertion one by one.
    Tree(const std::pmr::vector<Entry>& from, std::pmr::memory_resource* memory)
        : nodes(std::max(kLeastBytes, kBytesABox * from.size()), memory),
          entries(from.begin(), from.end(), {}, {}, {}, Allocator(&nodes), Allocator(memory)) {}

    static constexpr std::size_t kLeastBytes = 1024;
    static constexpr std::size_t kBytesABox = 56;

    std::pmr::monotonic_buffer_resource nodes;  // side by side, and gone together
    Entries entries;
};

BoxIndex::BoxIndex() = default;
BoxIndex::~BoxIndex() = default;
BoxIndex::BoxIndex(BoxIndex&&) noexcept = default;
BoxIndex& BoxIndex::operator=(BoxIndex&&) noexcept = default;

BoxIndex::BoxIndex(std::span<const Box> boxes, std::pmr::memory_resource* memory) {
    if (boxes.size() > std::numeric_limits<std::uint32_t>::max()) {
        internal_error("more boxes than a 32-bit id can count");
    }
    std::pmr::vector<Entry> entries(memory);
    entries.reserve(boxes.size());
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        if (!boxes[i].empty()) {
            entries.emplace_back(tree_box(boxes[i]), static_cast<std::uint32_t>(i));
        }
    }
    m_tree = std::make_unique<Tree>(entries, memory);
}

void BoxIndex::visit(const Box& box, const std::function<void(std::uint32_t)>& each) const {
    if (!m_tree || box.empty()) {
        return;
    }
    const auto hand_on = boost::make_function_output_iterator([&](const Entry& entry) { each(entry.second); });
    m_tree->entries.query(bg::index::intersects(tree_box(box)), hand_on);
}

std::vector<std::uint32_t> BoxIndex::query(const Box& box) const {
    std::vector<std::uint32_t> ids;
    visit(box, [&ids](std::uint32_t id) { ids.push_back(id); });
    std::sort(ids.begin(), ids.end());
    return ids;
}

}  // namespace eaveshed
