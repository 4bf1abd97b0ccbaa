#include "eaveshed/vector/field_text.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <iterator>

#include <fmt/format.h>
#include <ogrsf_frmts.h>

namespace eaveshed {

namespace {

std::string date_text(int year, int month, int day) {
    return fmt::format("{:04}-{:02}-{:02}", year, month, day);
}

std::string time_text(int hour, int minute, float second) {
    const long thousandths = std::lround(static_cast<double>(second) * 1000.0);
    std::string text = fmt::format("{:02}:{:02}:{:02}", hour, minute, thousandths / 1000);
    if (thousandths % 1000 != 0) {
        text += fmt::format(".{:03}", thousandths % 1000);
    }
    return text;
}

// GDAL: 0 unknown, 1 local time, 100 UTC, otherwise quarters of an hour from 100.
std::string zone_text(int flag) {
    if (flag <= 1) {
        return {};
    }
    if (flag == 100) {
        return "Z";
    }
    const int minutes = (flag - 100) * 15;
    const int size = minutes < 0 ? -minutes : minutes;
    return fmt::format("{}{:02}:{:02}", minutes < 0 ? '-' : '+', size / 60, size % 60);
}

std::string moment_text(const OGRFeature& feature, int field, OGRFieldType type) {
    int year = 0;
    int month = 0;
    int day = 0;
    int hour = 0;
    int minute = 0;
    float second = 0.0F;
    int zone = 0;
    if (feature.GetFieldAsDateTime(field, &year, &month, &day, &hour, &minute, &second, &zone) == FALSE) {
        return {};
    }
    if (type == OFTDate) {
        return date_text(year, month, day);
    }
    if (type == OFTTime) {
        return time_text(hour, minute, second);
    }
    return date_text(year, month, day) + "T" + time_text(hour, minute, second) + zone_text(zone);
}

}  // namespace

std::string real_text(double value) {
    if (std::isnan(value)) {
        return {};
    }
    if (value == 0.0) {
        return "0";  // of either sign
    }
    std::array<char, 64> buffer{};
    const double size = std::abs(value);
    const bool plain = size >= 1e-5 && size < 1e17;
    const auto done = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                    plain ? std::chars_format::fixed : std::chars_format::general);
    return {buffer.data(), done.ptr};
}

bool field_text(const OGRFeature& feature, int field, std::string& text) {
    if (feature.IsFieldSetAndNotNull(field) == 0) {
        return false;
    }
    const OGRFieldType type = feature.GetDefnRef()->GetFieldDefn(field)->GetType();
    switch (type) {
        case OFTInteger: text = std::to_string(feature.GetFieldAsInteger(field)); return true;
        case OFTInteger64: text = std::to_string(feature.GetFieldAsInteger64(field)); return true;
        case OFTReal: text = real_text(feature.GetFieldAsDouble(field)); return !text.empty();
        case OFTDate:
        case OFTTime:
        case OFTDateTime: text = moment_text(feature, field, type); return !text.empty();
        case OFTIntegerList:
        case OFTInteger64List:
        case OFTRealList:
        case OFTStringList: {
            char* const json = feature.GetFieldAsSerializedJSon(field);
            text = json == nullptr ? "" : json;
            CPLFree(json);
            return json != nullptr;
        }
        default: text = feature.GetFieldAsString(field); return true;
    }
}

}  // namespace eaveshed
