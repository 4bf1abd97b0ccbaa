// Steps of which each may fail. Private to the module.
#pragma once

#include <functional>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Runs one step; its input error becomes a finding, so that the next input is looked at all the same.
inline void attempt(Findings& findings, const std::function<void()>& step) {
    try {
        step();
    } catch (const Error& error) {
        if (error.fault() != Fault::input) {
            throw;
        }
        findings.error(error.trouble());
    }
}

}  // namespace eaveshed
