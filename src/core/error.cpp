#include "eaveshed/core/error.hpp"

#include <utility>

namespace eaveshed {

std::string to_text(const Trouble& trouble) {
    std::string text = trouble.where;
    bool only_where = true;
    const auto append = [&](std::string_view lead, const std::string& part) {
        if (part.empty()) {
            return;
        }
        if (!text.empty()) {
            text += only_where ? ": " : "; ";
        }
        text += lead;
        text += part;
        only_where = false;
    };
    append("found ", trouble.found);
    append("wanted ", trouble.wanted);
    append("", trouble.remedy);
    return text;
}

Error::Error(Fault fault, Trouble trouble)
    : std::runtime_error(to_text(trouble)), m_fault(fault), m_trouble(std::move(trouble)) {}

Error input_error(std::string where, std::string found, std::string wanted, std::string remedy) {
    return {Fault::input, {std::move(where), std::move(found), std::move(wanted), std::move(remedy)}};
}

Error working_error(std::string where, std::string found, std::string wanted, std::string remedy) {
    return {Fault::working, {std::move(where), std::move(found), std::move(wanted), std::move(remedy)}};
}

void internal_error(std::string_view what) {
    throw Error(Fault::internal,
                {"internal error", std::string(what), "", "please report it with the command you ran"});
}

}  // namespace eaveshed
