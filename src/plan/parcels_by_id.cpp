#include <algorithm>
#include <functional>
#include <string_view>
#include <utility>

#include "plan_parts.hpp"

namespace eaveshed {

std::size_t ParcelsById::slot_of(const Plan& plan, std::string_view id) const {
    const std::size_t mask = m_slots.size() - 1;
    std::size_t at = std::hash<std::string_view>{}(id)&mask;
    while (m_slots[at] != kNone && plan.parcel_id(m_slots[at]) != id) {
        at = (at + 1) & mask;
    }
    return at;
}

std::uint32_t ParcelsById::find(const Plan& plan, std::string_view id) const {
    return m_slots.empty() ? kNone : m_slots[slot_of(plan, id)];
}

bool ParcelsById::add(const Plan& plan, std::uint32_t position) {
    constexpr std::size_t kFewest = 64;
    if (4 * (m_count + 1) > 3 * m_slots.size()) {  // at most three quarters are taken
        SpillArray<std::uint32_t> before = std::exchange(m_slots, SpillArray<std::uint32_t>(plan.lists_folder));
        m_slots.resize(std::max(kFewest, 2 * before.size()), kNone);
        for (const std::uint32_t known : before) {
            if (known != kNone) {
                m_slots[slot_of(plan, plan.parcel_id(known))] = known;
            }
        }
    }
    std::uint32_t& slot = m_slots[slot_of(plan, plan.parcel_id(position))];
    if (slot != kNone) {
        return false;
    }
    slot = position;
    ++m_count;
    return true;
}

}  // namespace eaveshed
