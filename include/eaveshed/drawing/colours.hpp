// The few colours of maps and charts: told apart with any colour vision, and in grey where they form a sequence.
#pragma once

#include <array>
#include <string>

namespace eaveshed::colour {

// Okabe and Ito, Color Universal Design (2008).
inline constexpr const char* kOrange = "#e69f00";
inline constexpr const char* kSkyBlue = "#56b4e9";
inline constexpr const char* kGreen = "#009e73";
inline constexpr const char* kYellow = "#f0e442";
inline constexpr const char* kBlue = "#0072b2";
inline constexpr const char* kVermilion = "#d55e00";
inline constexpr const char* kPurple = "#cc79a7";

// Steps of the viridis scale (CC0), dark first.
inline constexpr std::array kSequence{"#440154", "#3b528b", "#21918c", "#5ec962", "#fde725"};

inline constexpr const char* kInk = "#1a1a1a";       // text and axes
inline constexpr const char* kFaintInk = "#595959";  // second texts: 7:1 on white
inline constexpr const char* kRule = "#d0d0d0";      // lines of a chart's grid
inline constexpr const char* kNoResult = "#bdbdbd";  // what has no result

// Relative luminance and contrast of "#rrggbb" as WCAG 2.1 defines them (1.4.3): 1 to 21. Another text is a broken
// invariant.
[[nodiscard]] double contrast(const std::string& one, const std::string& other);

}  // namespace eaveshed::colour
