// Two steps of one piece of work side by side: one makes what the other uses. Private to the module.
#pragma once

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

}  // namespace eaveshed
