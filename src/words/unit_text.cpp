#include "eaveshed/words/unit_text.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <map>
#include <utility>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

struct LengthName {
    std::string_view name;
    LengthUnit unit;
};
constexpr LengthUnit kFoot{kMetresPerFoot, true};
constexpr LengthUnit kInternationalFoot{kMetresPerFoot, false};
constexpr LengthUnit kSurveyFoot{kMetresPerUsSurveyFoot, false};
constexpr std::array kLengths{
    LengthName{"m", {1.0}},
    LengthName{"metre", {1.0}},
    LengthName{"metres", {1.0}},
    LengthName{"meter", {1.0}},
    LengthName{"meters", {1.0}},
    LengthName{"dm", {0.1}},
    LengthName{"decimetre", {0.1}},
    LengthName{"decimeter", {0.1}},
    LengthName{"cm", {0.01}},
    LengthName{"centimetre", {0.01}},
    LengthName{"centimeter", {0.01}},
    LengthName{"centimetres", {0.01}},
    LengthName{"centimeters", {0.01}},
    LengthName{"mm", {0.001}},
    LengthName{"millimetre", {0.001}},
    LengthName{"millimeter", {0.001}},
    LengthName{"ft", kFoot},
    LengthName{"foot", kFoot},
    LengthName{"feet", kFoot},
    LengthName{"international foot", kInternationalFoot},
    LengthName{"international feet", kInternationalFoot},
    LengthName{"foot (international)", kInternationalFoot},
    LengthName{"us survey foot", kSurveyFoot},
    LengthName{"us survey feet", kSurveyFoot},
    LengthName{"u.s. survey foot", kSurveyFoot},
    LengthName{"u.s. survey feet", kSurveyFoot},
    LengthName{"foot_us", kSurveyFoot},
    LengthName{"us foot", kSurveyFoot},
    LengthName{"us feet", kSurveyFoot},
    LengthName{"us-ft", kSurveyFoot},
    LengthName{"us_ft", kSurveyFoot},
    LengthName{"us ft", kSurveyFoot},
    LengthName{"usft", kSurveyFoot},
    LengthName{"ftus", kSurveyFoot},
    LengthName{"sft", kSurveyFoot},
};

std::string trimmed_lower(std::string_view text) {
    const std::string_view blanks = " \t\r\n";
    const std::size_t begin = text.find_first_not_of(blanks);
    if (begin == std::string_view::npos) {
        return {};
    }
    return lower_case(text.substr(begin, text.find_last_not_of(blanks) - begin + 1));
}

// Base units and their powers: "kg m-2 s-1", "kg/m2/s" and "kg m^-2 s**-1" are all {kg 1, m -2, s -1}.
using Powers = std::map<std::string, int>;

constexpr std::array<std::pair<std::string_view, std::string_view>, 29> kBaseNames{{
    {"millimetre", "mm"}, {"millimetres", "mm"}, {"millimeter", "mm"}, {"millimeters", "mm"}, {"mms", "mm"},
    {"centimetre", "cm"}, {"centimetres", "cm"}, {"centimeter", "cm"}, {"centimeters", "cm"}, {"metre", "m"},
    {"metres", "m"},      {"meter", "m"},        {"meters", "m"},      {"inch", "in"},        {"inches", "in"},
    {"kilogram", "kg"},   {"kilograms", "kg"},   {"second", "s"},      {"seconds", "s"},      {"sec", "s"},
    {"d", "day"},         {"days", "day"},       {"dy", "day"},        {"mon", "month"},      {"months", "month"},
    {"mo", "month"},      {"h", "hour"},         {"hr", "hour"},       {"hours", "hour"},
}};
constexpr std::array<std::string_view, 7> kFillers{"of",       "water",         "equivalent", "rain",
                                                   "rainfall", "precipitation", "lwe"};

std::string base_name(const std::string& word) {
    const auto* const found =
        std::find_if(kBaseNames.begin(), kBaseNames.end(), [&](const auto& entry) { return entry.first == word; });
    return found != kBaseNames.end() ? std::string(found->second) : word;
}

// Reads one factor, a word and a whole power, from `at` on. False when there is none.
bool take_factor(const std::string& text, std::size_t& at, std::string& word, int& power) {
    const auto letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
    const std::size_t begin = at;
    while (at < text.size() && letter(text[at])) {
        ++at;
    }
    word = text.substr(begin, at - begin);
    if (word.empty()) {
        return false;
    }
    if (text.compare(at, 2, "**") == 0) {
        at += 2;
    } else if (at < text.size() && text[at] == '^') {
        ++at;
    }
    power = 1;
    if (at < text.size() && text[at] == '+') {
        ++at;
    }
    const char* const from = text.data() + at;
    const auto [end, fault] = std::from_chars(from, text.data() + text.size(), power);
    if (fault == std::errc{}) {
        at += static_cast<std::size_t>(end - from);
    }
    constexpr int kLargestPower = 9;
    return fault != std::errc::result_out_of_range && power >= -kLargestPower && power <= kLargestPower;
}

// Empty when the text is no product of powers.
Powers powers_of(std::string_view given) {
    const std::string text = trimmed_lower(given);
    Powers powers;
    int sign = 1;
    for (std::size_t at = 0; at < text.size();) {
        const char c = text[at];
        if (c == ' ' || c == '.' || c == '*' || c == '/' || c == '_') {
            sign = c == '/' ? -1 : sign;
            ++at;
            continue;
        }
        std::string word;
        int power = 1;
        if (!take_factor(text, at, word, power)) {
            return {};
        }
        if (word == "per") {
            sign = -1;
            continue;
        }
        if (std::find(kFillers.begin(), kFillers.end(), word) == kFillers.end()) {
            powers[base_name(word)] += sign * power;
        }
        sign = 1;
    }
    return powers;
}

struct RainPowers {
    Powers powers;
    RainUnitText meaning;
};

const std::vector<RainPowers>& rain_powers() {
    static const std::vector<RainPowers> table{
        {{{"mm", 1}}, {RainUnit::mm}},
        {{{"kg", 1}, {"m", -2}}, {RainUnit::mm}},
        {{{"cm", 1}}, {RainUnit::cm}},
        {{{"m", 1}}, {RainUnit::m}},
        {{{"in", 1}}, {RainUnit::inch}},
        {{{"mm", 1}, {"month", -1}}, {RainUnit::mm, PerStep::month}},
        {{{"kg", 1}, {"m", -2}, {"month", -1}}, {RainUnit::mm, PerStep::month}},
        {{{"cm", 1}, {"month", -1}}, {RainUnit::cm, PerStep::month}},
        {{{"m", 1}, {"month", -1}}, {RainUnit::m, PerStep::month}},
        {{{"in", 1}, {"month", -1}}, {RainUnit::inch, PerStep::month}},
        {{{"in", 1}, {"day", -1}}, {RainUnit::inch, PerStep::day}},
        {{{"cm", 1}, {"day", -1}}, {RainUnit::cm, PerStep::day}},
        {{{"mm", 1}, {"day", -1}}, {RainUnit::mm_per_day}},
        {{{"kg", 1}, {"m", -2}, {"day", -1}}, {RainUnit::mm_per_day}},
        {{{"m", 1}, {"day", -1}}, {RainUnit::m_per_day}},
        {{{"kg", 1}, {"m", -2}, {"s", -1}}, {RainUnit::kg_per_m2_s}},
        {{{"mm", 1}, {"s", -1}}, {RainUnit::kg_per_m2_s}},
        {{{"m", 1}, {"s", -1}}, {RainUnit::m_per_s}},
        {{{"mm", 1}, {"hour", -1}}, {RainUnit::mm_per_hour}},
        {{{"kg", 1}, {"m", -2}, {"hour", -1}}, {RainUnit::mm_per_hour}},
    };
    return table;
}

}  // namespace

std::optional<LengthUnit> length_unit_from_text(std::string_view text) {
    const std::string name = trimmed_lower(text);
    const auto* const found =
        std::find_if(kLengths.begin(), kLengths.end(), [&](const LengthName& entry) { return entry.name == name; });
    return found != kLengths.end() ? std::optional<LengthUnit>{found->unit} : std::nullopt;
}

namespace {

// "0.1 mm", "1e-4 m", "mm/10", "tenths of mm": how tenths of a millimetre are written.
bool is_tenth_mm(std::string_view given) {
    std::string text = trimmed_lower(given);
    std::replace(text.begin(), text.end(), '_', ' ');
    for (const std::string_view start : {"tenths", "tenth", "0.1", "1e-1", "1.e-1", "10-1", "10^-1"}) {
        if (text.rfind(start, 0) != 0) {
            continue;
        }
        std::string_view rest = std::string_view(text).substr(start.size());
        for (const std::string_view word : {" ", "of ", "a ", "*"}) {
            rest.remove_prefix(rest.rfind(word, 0) == 0 ? word.size() : 0);
        }
        const Powers powers = powers_of(rest);
        return powers == Powers{{"mm", 1}};
    }
    return text == "mm/10" || text == "mm*0.1" || text == "1e-4 m" || text == "0.0001 m";
}

}  // namespace

std::optional<RainUnitText> rain_unit_from_text(std::string_view text) {
    if (is_tenth_mm(text)) {
        return RainUnitText{RainUnit::tenth_mm};
    }
    const Powers powers = powers_of(text);
    for (const RainPowers& entry : rain_powers()) {
        if (entry.powers == powers) {
            return entry.meaning;
        }
    }
    return std::nullopt;
}

double mm_per_value(RainUnit unit, double days) {
    constexpr double kMmPerCm = 10.0;
    constexpr double kMmPerInch = 25.4;  // exact, 1959
    constexpr double kHoursPerDay = 24.0;
    switch (unit) {
        case RainUnit::from_file:
        case RainUnit::mm: return 1.0;
        case RainUnit::cm: return kMmPerCm;
        case RainUnit::m: return kMmPerMetre;
        case RainUnit::inch: return kMmPerInch;
        case RainUnit::mm_per_day: return days;
        case RainUnit::m_per_day: return kMmPerMetre * days;
        case RainUnit::kg_per_m2_s: return kSecondsPerDay * days;
        case RainUnit::m_per_s: return kMmPerMetre * kSecondsPerDay * days;
        case RainUnit::tenth_mm: return 1.0 / kMmPerCm;
        case RainUnit::mm_per_hour: return kHoursPerDay * days;
    }
    return 1.0;
}

std::optional<TemperatureUnit> temperature_unit_from_text(std::string_view text) {
    const std::string name = trimmed_lower(text);
    constexpr std::array<std::string_view, 11> kCelsius{"degc",
                                                        "deg c",
                                                        "deg_c",
                                                        "c",
                                                        "celsius",
                                                        "degree_celsius",
                                                        "degrees_celsius",
                                                        "degree celsius",
                                                        "degrees celsius",
                                                        "degrees c",
                                                        "\xC2\xB0"
                                                        "c"};
    constexpr std::array<std::string_view, 5> kKelvin{"k", "kelvin", "degk", "deg_k", "degrees_kelvin"};
    if (std::find(kCelsius.begin(), kCelsius.end(), name) != kCelsius.end()) {
        return TemperatureUnit::celsius;
    }
    if (std::find(kKelvin.begin(), kKelvin.end(), name) != kKelvin.end()) {
        return TemperatureUnit::kelvin;
    }
    return std::nullopt;
}

std::string_view to_text(RainUnit unit) {
    switch (unit) {
        case RainUnit::from_file: return "from the file";
        case RainUnit::mm: return "mm";
        case RainUnit::cm: return "cm";
        case RainUnit::m: return "m";
        case RainUnit::inch: return "in";
        case RainUnit::mm_per_day: return "mm day-1";
        case RainUnit::m_per_day: return "m day-1";
        case RainUnit::kg_per_m2_s: return "kg m-2 s-1";
        case RainUnit::m_per_s: return "m s-1";
        case RainUnit::tenth_mm: return "0.1 mm";
        case RainUnit::mm_per_hour: return "mm h-1";
    }
    return "";
}

std::string_view to_text(EvapotranspirationUnit unit) {
    switch (unit) {
        case EvapotranspirationUnit::from_file: return "from the file";
        case EvapotranspirationUnit::mm_per_day: return "mm day-1";
        case EvapotranspirationUnit::mm_per_month: return "mm month-1";
    }
    return "";
}

}  // namespace eaveshed
