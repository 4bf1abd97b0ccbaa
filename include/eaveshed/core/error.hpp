// Errors that stop a run. A bad feature is never an error: it is an outcome in its row (outcomes.hpp).
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace eaveshed {

// What went wrong, as the process reports it. The numeric values are the exit codes of the command line.
enum class Fault : int {
    working = 1,   // a fault while working: data that could not be read or written
    input = 2,     // wrong words, settings or inputs, found before work starts
    internal = 3,  // a broken invariant: a defect of this program
    passing = 75,  // a passing trouble worth a retry: locked, no room left
};

// The four parts every message owes its reader. Empty parts are left out of the text.
struct Trouble {
    std::string where;   // file, layer, band, field or setting
    std::string found;   // what was there
    std::string wanted;  // what was expected
    std::string remedy;  // what to do
};

// One line: "where: found X; wanted Y; remedy".
[[nodiscard]] std::string to_text(const Trouble& trouble);

class Error : public std::runtime_error {
public:
    Error(Fault fault, Trouble trouble);

    [[nodiscard]] Fault fault() const noexcept { return m_fault; }
    [[nodiscard]] int exit_code() const noexcept { return static_cast<int>(m_fault); }
    [[nodiscard]] const Trouble& trouble() const noexcept { return m_trouble; }

private:
    Fault m_fault;
    Trouble m_trouble;
};

// Shorthand for the two common cases.
[[nodiscard]] Error input_error(std::string where, std::string found, std::string wanted, std::string remedy);
[[nodiscard]] Error working_error(std::string where, std::string found, std::string wanted, std::string remedy);

// A broken invariant; `what` names it for the developer who reads the report.
[[noreturn]] void internal_error(std::string_view what);

}  // namespace eaveshed
