#include "eaveshed/siting/siting_rule.hpp"

#include "rule_walk.hpp"

namespace eaveshed {

const std::array<SitingRule, kPadRules>& siting_rules() {
    return kRuleEntries;
}

}  // namespace eaveshed
