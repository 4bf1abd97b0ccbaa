// Pieces of work side by side: one makes what the other uses, or neither knows of the other.
#pragma once

#include <tbb/parallel_pipeline.h>
#include <tbb/task_group.h>

#include <algorithm>
#include <cstddef>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

namespace eaveshed {

// The items that `make` gives, one after another, for a pipeline.
template <typename Item, typename Make>
auto items_of(const Make& make) {
    const auto next = [&make](tbb::flow_control& control) -> std::shared_ptr<Item> {
        if (std::optional<Item> item = make()) {
            return std::make_shared<Item>(std::move(*item));
        }
        control.stop();
        return nullptr;
    };
    return tbb::make_filter<void, std::shared_ptr<Item>>(tbb::filter_mode::serial_in_order, next);
}

// `make` gives one item after another, and none after the last; `use` takes them in that order. Each runs on one thread
// at a time, not always the same one, and both at once where threads are allowed to; a few items at most wait between
// them. An exception of either ends both and is thrown here.
template <typename Make, typename Use>
void in_two_steps(const Make& make, const Use& use) {
    using Item = typename decltype(make())::value_type;
    constexpr std::size_t kUnderWay = 4;
    const auto use_next = [&](const std::shared_ptr<Item>& item) { use(*item); };
    tbb::parallel_pipeline(kUnderWay, items_of<Item>(make) & tbb::make_filter<std::shared_ptr<Item>, void>(
                                                                 tbb::filter_mode::serial_in_order, use_next));
}

// The same with a step between them that several threads may take at once, each with an item of its own: as many as
// eight, since no more items are under way, so that few of them stand in memory.
template <typename Make, typename Refine, typename Use>
void in_three_steps(const Make& make, const Refine& refine, const Use& use) {
    using Item = typename decltype(make())::value_type;
    using Refined = decltype(refine(std::declval<Item>()));
    constexpr std::size_t kUnderWay = 8;
    const auto refine_one = [&](const std::shared_ptr<Item>& item) {
        return std::make_shared<Refined>(refine(std::move(*item)));
    };
    const auto use_next = [&](const std::shared_ptr<Refined>& refined) { use(*refined); };
    tbb::parallel_pipeline(
        kUnderWay,
        items_of<Item>(make) &
            tbb::make_filter<std::shared_ptr<Item>, std::shared_ptr<Refined>>(tbb::filter_mode::parallel, refine_one) &
            tbb::make_filter<std::shared_ptr<Refined>, void>(tbb::filter_mode::serial_in_order, use_next));
}

// Tools of which each is for one thread at a time, made as they are needed and lent to whoever works.
template <typename Tool>
class LentTools {
public:
    explicit LentTools(std::function<std::unique_ptr<Tool>()> make) : m_make(std::move(make)) {}

    template <typename Work>
    auto with_one(const Work& work) {
        std::unique_ptr<Tool> tool = take();
        auto done = work(*tool);
        const std::scoped_lock lock(m_mutex);
        m_free.push_back(std::move(tool));
        return done;
    }

private:
    std::unique_ptr<Tool> take() {
        const std::scoped_lock lock(m_mutex);
        if (m_free.empty()) {
            return m_make();
        }
        std::unique_ptr<Tool> tool = std::move(m_free.back());
        m_free.pop_back();
        return tool;
    }

    std::mutex m_mutex;
    std::function<std::unique_ptr<Tool>()> m_make;  // one call at a time
    std::vector<std::unique_ptr<Tool>> m_free;
};

// Looks at items 0, 1, ... `count` - 1 with a tool that is lent, neighbours in the order one after another with the
// same one, and gives what was seen of each in that order. `look(tool, i)` runs on several threads at once.
template <typename Seen, typename Tool, typename Look>
std::vector<Seen> seen_of_each(std::size_t count, LentTools<Tool>& tools, const Look& look) {
    constexpr std::size_t kAtATime = 8;
    std::vector<Seen> seen;
    seen.reserve(count);
    std::size_t next = 0;
    const auto begin = [&]() -> std::optional<std::size_t> {
        const std::size_t first = std::exchange(next, std::min(count, next + kAtATime));
        return first < count ? std::optional(first) : std::nullopt;
    };
    const auto look_at_some = [&](std::size_t first) {
        return tools.with_one([&](Tool& tool) {
            std::vector<Seen> some;
            for (std::size_t i = first; i < std::min(count, first + kAtATime); ++i) {
                some.push_back(look(tool, i));
            }
            return some;
        });
    };
    in_three_steps(begin, look_at_some,
                   [&](const std::vector<Seen>& some) { seen.insert(seen.end(), some.begin(), some.end()); });
    return seen;
}

// Two pieces of work that know nothing of each other: at once where threads are allowed to, else in this order. An
// exception of either is thrown here.
template <typename First, typename Second>
void side_by_side(const First& first, const Second& second) {
    tbb::task_group group;
    group.run(second);
    group.run_and_wait(first);
}

}  // namespace eaveshed
