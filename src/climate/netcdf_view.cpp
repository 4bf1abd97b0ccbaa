#include "eaveshed/climate/netcdf_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

DatasetHandle open_variable(const std::string& name) {
    const std::array<const char*, 2> drivers{"netCDF", nullptr};
    const GdalErrors quiet;
    return DatasetHandle(
        GDALDataset::Open(name.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, drivers.data(), nullptr, nullptr));
}

// "{time,lev}" as names.
std::vector<std::string> names_in_braces(const std::string& text) {
    std::vector<std::string> names;
    std::string name;
    for (const char c : text) {
        if (c == '{' || c == '}' || c == ',' || c == ' ') {
            if (!name.empty()) {
                names.push_back(name);
            }
            name.clear();
        } else {
            name += c;
        }
    }
    if (!name.empty()) {
        names.push_back(name);
    }
    return names;
}

}  // namespace

std::string metadata_text(GDALMajorObject& object, const std::string& key) {
    const char* const text = object.GetMetadataItem(key.c_str());
    return text != nullptr ? text : "";
}

DatasetHandle choose_variable(GDALDataset& file, const std::vector<std::string>& standard_names,
                              const std::string& where, std::string& open_name, Findings& findings) {
    constexpr int kMostVariables = 500;
    std::vector<std::string> all;
    std::vector<std::string> fitting;
    for (int i = 1; i <= kMostVariables; ++i) {
        const char* const name =
            CSLFetchNameValue(file.GetMetadata("SUBDATASETS"), fmt::format("SUBDATASET_{}_NAME", i).c_str());
        if (name == nullptr) {
            break;
        }
        const std::string full = name;
        const std::string variable = full.substr(full.rfind(':') + 1);
        const DatasetHandle dataset = open_variable(full);
        if (dataset == nullptr || dataset->GetRasterCount() == 0) {
            continue;
        }
        all.push_back(variable);
        const std::string standard_name = metadata_text(*dataset, variable + "#standard_name");
        if (std::find(standard_names.begin(), standard_names.end(), standard_name) != standard_names.end()) {
            fitting.push_back(full);
        }
    }
    if (fitting.size() != 1) {
        throw input_error(where, fmt::format("several variables: {}", listed(all)),
                          "one variable, or one with a standard name of the quantity",
                          "keep the one that is meant: gdal_translate -of netCDF NETCDF:\"FILE\":VARIABLE OUT.nc");
    }
    open_name = fitting.front();
    findings.note({where, fmt::format("several variables; {} is read", open_name.substr(open_name.rfind(':') + 1)), "",
                   "its standard name says what it is"});
    return open_variable(open_name);
}

bool has_degrees(GDALDataset& dataset) {
    bool north = false;
    bool east = false;
    for (char** entry = dataset.GetMetadata(); entry != nullptr && *entry != nullptr; ++entry) {
        const std::string text = lower_case(*entry);
        north = north || text.find("#units=degrees_north") != std::string::npos ||
                text.find("#units=degree_north") != std::string::npos;
        east = east || text.find("#units=degrees_east") != std::string::npos ||
               text.find("#units=degree_east") != std::string::npos;
    }
    return north && east;
}

std::string time_dimension(GDALDataset& dataset, const std::string& where) {
    std::string time;
    std::vector<std::string> several;
    for (const std::string& name : names_in_braces(metadata_text(dataset, "NETCDF_DIM_EXTRA"))) {
        const std::vector<std::string> size = names_in_braces(metadata_text(dataset, "NETCDF_DIM_" + name + "_DEF"));
        const bool single = !size.empty() && size.front() == "1";
        if (!single) {
            several.push_back(name);
        }
        const bool dated = lower_case(metadata_text(dataset, name + "#units")).find(" since ") != std::string::npos;
        time = !single || (time.empty() && dated) ? name : time;
    }
    if (several.size() > 1) {
        throw input_error(where, fmt::format("the dimensions {}", listed(several)),
                          "time as the only one besides rows and columns",
                          "choose one level or member first: ncks -d, or cdo select");
    }
    return time;
}

namespace {

constexpr std::size_t kMostValues = 4U << 20U;  // of one axis: 11,000 years of days

// All values of a coordinate variable or its bounds; empty when it is none of plain numbers in one or two dimensions.
std::vector<double> values_of(GDALMDArray& array) {
    const auto& dimensions = array.GetDimensions();
    std::vector<GUInt64> start(dimensions.size(), 0);
    std::vector<std::size_t> count;
    std::size_t total = 1;
    for (const auto& dimension : dimensions) {
        const GUInt64 size = dimension->GetSize();
        if (size == 0 || size > kMostValues || total > kMostValues / size) {
            return {};
        }
        count.push_back(size);
        total *= size;
    }
    if (dimensions.empty() || dimensions.size() > 2 || array.GetDataType().GetClass() != GEDTC_NUMERIC) {
        return {};
    }
    std::vector<double> values(total);
    const bool read = array.Read(start.data(), count.data(), nullptr, nullptr,
                                 GDALExtendedDataType::Create(GDT_Float64), values.data());
    return read ? values : std::vector<double>{};
}

std::vector<double> middles_of(const GDALGroup& root, GDALMDArray& time) {
    const auto attribute = time.GetAttribute("bounds");
    const char* const name = attribute != nullptr ? attribute->ReadAsString() : nullptr;
    const auto bounds = name != nullptr ? root.OpenMDArray(name) : nullptr;
    if (bounds == nullptr || bounds->GetDimensions().size() != 2 || bounds->GetDimensions()[1]->GetSize() != 2) {
        return {};
    }
    const std::vector<double> pairs = values_of(*bounds);
    std::vector<double> middles;
    for (std::size_t i = 0; i + 1 < pairs.size(); i += 2) {
        middles.push_back(0.5 * (pairs[i] + pairs[i + 1]));
    }
    return middles;
}

// Longitudes may jump by a turn inside an even axis: ..., 359, 0, 1, ...
void unwrap(std::vector<double>& axis) {
    constexpr double kFullTurn = 360.0;
    const double step = axis[1] - axis[0];
    for (std::size_t i = 2; i < axis.size(); ++i) {
        const double jump = axis[i] - axis[i - 1] - step;
        if (std::abs(std::abs(jump) - kFullTurn) < 0.5 * std::abs(step)) {
            axis[i] -= std::copysign(kFullTurn, jump);
        }
    }
}

double unevenness_of(std::vector<double> axis) {
    if (axis.size() < 3) {
        return 0.0;
    }
    unwrap(axis);
    const double step = (axis.back() - axis.front()) / static_cast<double>(axis.size() - 1);
    double most = 0.0;
    for (std::size_t i = 0; i < axis.size(); ++i) {
        const double even = axis.front() + step * static_cast<double>(i);
        most = std::max(most, std::abs((axis[i] - even) / step));
    }
    return most;
}

}  // namespace

NetcdfAxes netcdf_axes(const std::string& where, const std::string& path, const std::string& variable,
                       const std::string& time_name) {
    const GdalErrors errors;
    const std::array<const char*, 2> drivers{"netCDF", nullptr};
    const DatasetHandle file(
        GDALDataset::Open(path.c_str(), GDAL_OF_MULTIDIM_RASTER | GDAL_OF_READONLY, drivers.data(), nullptr, nullptr));
    const auto root = file != nullptr ? file->GetRootGroup() : nullptr;
    const auto array = root != nullptr ? root->OpenMDArray(variable) : nullptr;
    NetcdfAxes axes;
    if (array == nullptr) {
        return axes;  // a variable in a group: the raster view is all there is
    }
    const auto& dimensions = array->GetDimensions();
    for (std::size_t i = 0; i < dimensions.size(); ++i) {
        const auto coordinates = dimensions[i]->GetIndexingVariable();
        if (coordinates == nullptr || coordinates->GetDimensions().size() != 1) {
            continue;
        }
        if (dimensions[i]->GetName() == time_name) {
            axes.step_middles = middles_of(*root, *coordinates);
        } else if (i + 2 >= dimensions.size()) {
            axes.unevenness = std::max(axes.unevenness, unevenness_of(values_of(*coordinates)));
        }
    }
    if (errors.failures() > 0) {
        throw input_error(where, "axes that cannot be read: " + printable(errors.text()), "readable axes",
                          "get the file again");
    }
    return axes;
}

}  // namespace eaveshed
