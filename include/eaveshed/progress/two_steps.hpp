// Pieces of work side by side: one makes what the other uses, or neither knows of the other.
#pragma once

#include <tbb/parallel_invoke.h>
#include <tbb/parallel_pipeline.h>

#include <cstddef>
#include <memory>
#include <optional>
#include <utility>

namespace eaveshed {

// `make` gives one item after another, and none after the last; `use` takes them in that order. Each runs on one thread
// at a time, not always the same one, and both at once where threads are allowed to; a few items at most wait between
// them. An exception of either ends both and is thrown here.
template <typename Make, typename Use>
void in_two_steps(const Make& make, const Use& use) {
    using Item = typename decltype(make())::value_type;
    constexpr std::size_t kUnderWay = 4;
    const auto make_next = [&](tbb::flow_control& control) -> std::shared_ptr<Item> {
        if (std::optional<Item> item = make()) {
            return std::make_shared<Item>(std::move(*item));
        }
        control.stop();
        return nullptr;
    };
    const auto use_next = [&](const std::shared_ptr<Item>& item) { use(*item); };
    tbb::parallel_pipeline(
        kUnderWay, tbb::make_filter<void, std::shared_ptr<Item>>(tbb::filter_mode::serial_in_order, make_next) &
                       tbb::make_filter<std::shared_ptr<Item>, void>(tbb::filter_mode::serial_in_order, use_next));
}

// Two pieces of work that know nothing of each other, at once where threads are allowed to. An exception of either is
// thrown here.
template <typename First, typename Second>
void side_by_side(const First& first, const Second& second) {
    tbb::parallel_invoke(first, second);
}

}  // namespace eaveshed
