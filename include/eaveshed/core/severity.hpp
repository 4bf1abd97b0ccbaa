// How much a finding weighs.
#pragma once

#include <cstdint>

namespace eaveshed {

enum class Severity : std::uint8_t { note, warning, error };

}  // namespace eaveshed
