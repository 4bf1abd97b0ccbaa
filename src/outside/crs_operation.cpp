#include "eaveshed/outside/crs_operation.hpp"

#include <memory>

#include <proj.h>

#include "eaveshed/crs/turned_crs.hpp"
#include "eaveshed/outside/gdal_crs.hpp"

namespace eaveshed {

namespace {

template <auto Destroy>
struct ProjCloser {
    template <typename Object>
    void operator()(Object* object) const noexcept {
        Destroy(object);
    }
};
using ProjContext = std::unique_ptr<PJ_CONTEXT, ProjCloser<proj_context_destroy>>;
using ProjObject = std::unique_ptr<PJ, ProjCloser<proj_destroy>>;
using ProjList = std::unique_ptr<PJ_OBJ_LIST, ProjCloser<proj_list_destroy>>;
using ProjFactory = std::unique_ptr<PJ_OPERATION_FACTORY_CONTEXT, ProjCloser<proj_operation_factory_context_destroy>>;

ProjContext quiet_context() {
    ProjContext context(proj_context_create());
    proj_context_set_enable_network(context.get(), 0);
    proj_log_level(context.get(), PJ_LOG_NONE);
    return context;
}

// What PROJ ranks first over the area; null where it knows nothing.
ProjObject first_operation(PJ_CONTEXT* context, const Crs& from, const Crs& to, const Box& area_deg,
                           PROJ_GRID_AVAILABILITY_USE grids) {
    const ProjObject source(proj_create(context, from.wkt().c_str()));
    const ProjObject target(proj_create(context, to.wkt().c_str()));
    const ProjFactory factory(proj_create_operation_factory_context(context, nullptr));
    if (source == nullptr || target == nullptr || factory == nullptr) {
        return nullptr;
    }
    proj_operation_factory_context_set_grid_availability_use(context, factory.get(), grids);
    proj_operation_factory_context_set_spatial_criterion(context, factory.get(),
                                                         PROJ_SPATIAL_CRITERION_PARTIAL_INTERSECTION);
    if (!area_deg.empty()) {
        proj_operation_factory_context_set_area_of_interest(context, factory.get(), area_deg.x_min, area_deg.y_min,
                                                            area_deg.x_max, area_deg.y_max);
    }
    const ProjList list(proj_create_operations(context, source.get(), target.get(), factory.get()));
    const bool any = list != nullptr && proj_list_get_count(list.get()) > 0;
    return ProjObject(any ? proj_list_get(context, list.get(), 0) : nullptr);
}

std::optional<double> accuracy_of(PJ_CONTEXT* context, const PJ* operation) {
    const double accuracy = proj_coordoperation_get_accuracy(context, operation);
    return accuracy >= 0.0 ? std::optional(accuracy) : std::nullopt;
}

std::vector<std::string> missing_grids_of(PJ_CONTEXT* context, const PJ* operation) {
    std::vector<std::string> names;
    for (int i = 0; i < proj_coordoperation_get_grid_used_count(context, operation); ++i) {
        const char* name = nullptr;
        int available = 0;
        if (proj_coordoperation_get_grid_used(context, operation, i, &name, nullptr, nullptr, nullptr, nullptr, nullptr,
                                              &available) != 0 &&
            available == 0 && name != nullptr) {
            names.emplace_back(name);
        }
    }
    return names;
}

}  // namespace

std::optional<OperationFacts> operation_between(const Crs& from, const Crs& to, const Box& area_deg) {
    const Crs one = unturned(from);  // a turn changes no datum
    const Crs other = unturned(to);
    if (gdal_handle(one) == nullptr || gdal_handle(other) == nullptr || one.same_as(other)) {
        return std::nullopt;
    }
    if (one.geographic().same_as(other.geographic())) {
        return OperationFacts{.name = "no change of datum", .accuracy_m = 0.0};
    }
    const ProjContext context = quiet_context();
    const ProjObject used =
        first_operation(context.get(), one, other, area_deg, PROJ_GRID_AVAILABILITY_DISCARD_OPERATION_IF_MISSING_GRID);
    if (used == nullptr) {
        return std::nullopt;
    }
    OperationFacts facts;
    const char* const name = proj_get_name(used.get());
    facts.name = name != nullptr ? name : "";
    facts.accuracy_m = accuracy_of(context.get(), used.get());
    facts.ballpark = proj_coordoperation_has_ballpark_transformation(context.get(), used.get()) != 0;
    const ProjObject best = first_operation(context.get(), one, other, area_deg, PROJ_GRID_AVAILABILITY_IGNORED);
    if (best != nullptr) {
        facts.missing_grids = missing_grids_of(context.get(), best.get());
        facts.better_accuracy_m = facts.missing_grids.empty() ? std::nullopt : accuracy_of(context.get(), best.get());
    }
    return facts;
}

}  // namespace eaveshed
