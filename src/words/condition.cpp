#include "eaveshed/words/condition.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

#include <fmt/format.h>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostBytes = 10'000;
constexpr int kMostBrackets = 100;  // within each other

constexpr std::array<std::string_view, 23> kFunctions{"abs",    "cast",      "coalesce", "concat",  "glob",  "ifnull",
                                                      "iif",    "instr",     "length",   "like",    "lower", "ltrim",
                                                      "max",    "min",       "nullif",   "replace", "round", "rtrim",
                                                      "substr", "substring", "trim",     "typeof",  "upper"};

// Words that may stand before a bracket and call nothing.
constexpr std::array<std::string_view, 15> kBeforeBracket{"and",  "between", "case", "else", "escape",
                                                          "glob", "ilike",   "in",   "is",   "like",
                                                          "not",  "or",      "then", "when", "collate"};

// What a statement is made of, or what gives another answer on another day.
constexpr std::array<std::string_view, 25> kRefused{"select",
                                                    "with",
                                                    "union",
                                                    "intersect",
                                                    "except",
                                                    "values",
                                                    "from",
                                                    "join",
                                                    "where",
                                                    "order",
                                                    "group",
                                                    "having",
                                                    "limit",
                                                    "exists",
                                                    "over",
                                                    "raise",
                                                    "match",
                                                    "regexp",
                                                    "pragma",
                                                    "attach",
                                                    "current_date",
                                                    "current_time",
                                                    "current_timestamp",
                                                    "returning",
                                                    "recursive"};

template <typename List>
bool among(const List& list, std::string_view word) {
    return std::ranges::find(list, word) != list.end();
}

bool begins_word(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || static_cast<unsigned char>(c) >= 0x80;
}
bool in_number(char c) {
    return (c >= '0' && c <= '9') || c == '.';
}
bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

class ConditionReader {
public:
    explicit ConditionReader(std::string_view text) : m_text(text) {}

    std::optional<std::string> fault() {
        if (m_text.size() > kMostBytes) {
            return fmt::format("more than {} characters", kMostBytes);
        }
        while (!m_fault && m_at < m_text.size()) {
            take();
        }
        if (!m_fault && m_open != 0) {
            m_fault = "a bracket that is not closed";
        }
        if (!m_fault && m_in_waits) {
            m_fault = "IN without a list in brackets";
        }
        return m_fault;
    }

private:
    [[nodiscard]] char here(std::size_t ahead = 0) const {
        return m_at + ahead < m_text.size() ? m_text[m_at + ahead] : '\0';
    }

    void take() {
        const char c = here();
        if (is_blank(c)) {
            ++m_at;
            return;
        }
        if (m_in_waits && c != '(') {
            m_fault = "IN without a list in brackets";
        } else if (c == '\'' || c == '"' || c == '`' || c == '[') {
            take_quoted(c);
        } else if (begins_word(c)) {
            take_word();
        } else if (in_number(c)) {
            take_while([](char d) { return begins_word(d) || in_number(d); });
        } else {
            take_sign(c);
        }
    }

    template <typename Holds>
    std::string_view take_while(Holds holds) {
        const std::size_t begin = m_at;
        while (m_at < m_text.size() && holds(m_text[m_at])) {
            ++m_at;
        }
        return m_text.substr(begin, m_at - begin);
    }

    void take_quoted(char quote) {
        const char close = quote == '[' ? ']' : quote;
        std::string inside;
        for (++m_at; m_at < m_text.size(); ++m_at) {
            const char c = here();
            if (c == '\\' && here(1) == close) {
                m_fault = "a backslash before a quote, which not every format reads in the same way";
                return;
            }
            if (c == '\0') {
                break;
            }
            if (c == close && quote != '[' && here(1) == close) {
                ++m_at;
            } else if (c == close) {
                ++m_at;
                if (quote != '\'') {
                    take_call(inside);
                }
                return;
            }
            inside += c;
        }
        m_fault = "a quote that is not closed";
    }

    void take_word() {
        const std::string word =
            lower_case(take_while([](char c) { return begins_word(c) || in_number(c) || c == '$'; }));
        if (among(kRefused, word)) {
            m_fault = fmt::format(
                "the word '{}', which no condition on a row needs; a field of that name stands "
                "between double quotes",
                printable(word));
            return;
        }
        m_in_waits = word == "in";
        if (!among(kBeforeBracket, word) || word == "like" || word == "glob") {
            take_call(word);
        }
    }

    // Whether a name that ends here is called.
    void take_call(const std::string& name) {
        take_while(is_blank);
        if (here() == '(' && !among(kFunctions, lower_case(name))) {
            m_fault = fmt::format("the function '{}', which is none of {}", printable(name, 40),
                                  fmt::join(condition_functions(), ", "));
        }
    }

    void take_sign(char c) {
        const bool comment = (c == '-' && here(1) == '-') || (c == '/' && here(1) == '*');
        constexpr std::string_view kSigns = "(),+-*/%<>=!|&~";
        if (comment) {
            m_fault = "a comment";
        } else if (c == '-' && here(1) == '>') {
            m_fault = "the sign '->', which some formats take for a look into JSON";
        } else if (c == ';') {
            m_fault = "a ';', which would end it";
        } else if (kSigns.find(c) == std::string_view::npos) {
            m_fault = fmt::format("the sign '{}'", printable(std::string_view(&c, 1)));
        } else if (c == '(' && ++m_open > kMostBrackets) {
            m_fault = fmt::format("more than {} brackets within each other", kMostBrackets);
        } else if (c == ')' && --m_open < 0) {
            m_fault = "a bracket that was not opened";
        }
        m_in_waits = false;
        ++m_at;
    }

    std::string_view m_text;
    std::size_t m_at = 0;
    int m_open = 0;
    bool m_in_waits = false;  // after the word IN: the name of a table would do there, too
    std::optional<std::string> m_fault;
};

// The name that follows `before` in what a library said, up to any of `after`; empty when it does not say so.
std::string name_in(const std::string& said, std::string_view before, std::string_view after) {
    const std::size_t at = said.find(before);
    if (at == std::string::npos) {
        return {};
    }
    const std::size_t begin = at + before.size();
    return said.substr(begin, said.find_first_of(after, begin) - begin);
}

}  // namespace

std::optional<std::string> fault_of_condition(std::string_view text) {
    return ConditionReader(text).fault();
}

std::span<const std::string_view> condition_functions() {
    return kFunctions;
}

std::string condition_remedy(const std::string& said, const std::vector<std::string>& fields) {
    std::string unknown = name_in(said, "no such column: ", "\"; ");
    if (unknown.empty() && said.find("not recognised as an available field") != std::string::npos) {
        unknown = name_in(said, "\"", "\"");
    }
    const std::string all = "the fields are " + listed(fields);
    if (unknown.empty()) {
        return "correct it; " + all;
    }
    return did_you_mean(unknown, fields, all) + "; text values stand between single quotes";
}

}  // namespace eaveshed
