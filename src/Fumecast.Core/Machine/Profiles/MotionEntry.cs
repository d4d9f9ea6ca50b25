// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <summary>Reads the motion limits of a profile.</summary>
internal static class MotionEntry
{
    private const double FastestMmPerS = 5000;
    private const double StrongestMmPerS2 = 200_000;

    /// <summary>Reads the group <c>motion</c> into a recipe that makes new limits each time; what is left out is not limited.</summary>
    public static Func<MotionLimits> Read(YamlMap map)
    {
        ProfileEntry.ReadBasis(map);
        var maxFeed = Axes(map, "max_feed", Quantity.Speed, FastestMmPerS);
        var maxAccel = Axes(map, "max_acceleration", Quantity.Acceleration, StrongestMmPerS2);
        var pathSpeed = map.OptionalNumber("max_path_speed", Quantity.Speed, 0.1, FastestMmPerS) ?? double.PositiveInfinity;
        var accelerations = map.Map("acceleration");
        var print = accelerations.Number("print", Quantity.Acceleration, 1, StrongestMmPerS2);
        var travel = accelerations.Number("travel", Quantity.Acceleration, 1, StrongestMmPerS2);
        var retract = accelerations.Number("retract", Quantity.Acceleration, 1, StrongestMmPerS2);
        var filamentLimits = map.OptionalFlag("filament_limits_nozzle_moves") ?? true;
        var stops = map.OptionalFlag("stops_between_filament_and_nozzle_moves") ?? false;
        var cruiseRatio = map.OptionalNumber("minimum_cruise_ratio", Quantity.Share, 0, 0.99) ?? 0;
        var minPrintFeed = map.OptionalNumber("min_print_feed", Quantity.Speed, 0, 100) ?? 0;
        var minTravelFeed = map.OptionalNumber("min_travel_feed", Quantity.Speed, 0, 100) ?? 0;
        var junction = Junction(map.Map("junction"));
        return () =>
        {
            var limits = new MotionLimits
            {
                MaxFeedMmPerS = maxFeed,
                MaxAccelMmPerS2 = maxAccel,
                MaxPathSpeedMmPerS = pathSpeed,
                PrintAccelMmPerS2 = print,
                TravelAccelMmPerS2 = travel,
                RetractAccelMmPerS2 = retract,
                FilamentLimitsNozzleMoves = filamentLimits,
                StopBetweenFilamentAndNozzleMoves = stops,
                MinimumCruiseRatio = cruiseRatio,
                MinPrintFeedMmPerS = minPrintFeed,
                MinTravelFeedMmPerS = minTravelFeed,
            };
            junction(limits);
            return limits;
        };
    }

    /// <summary>The model and its own settings; a setting of another model is an unknown key.</summary>
    private static Action<MotionLimits> Junction(YamlMap map)
    {
        switch (map.Choice<JunctionModel>("model"))
        {
            case JunctionModel.PerAxisJerk:
                var jerk = Axes(map, "jerk", Quantity.Speed, FastestMmPerS);
                var reversal = map.OptionalChoice<JerkReversal>("reversal") ?? JerkReversal.Sum;
                var atRest = map.OptionalFlag("at_rest") ?? false;
                var withinKind = map.OptionalFlag("within_kind_only") ?? false;
                return limits =>
                {
                    limits.Junction = JunctionModel.PerAxisJerk;
                    limits.JerkMmPerS = jerk;
                    limits.JerkReversal = reversal;
                    limits.JerkAtRest = atRest;
                    limits.JerkWithinKindOnly = withinKind;
                };
            case JunctionModel.SquareCorner:
                var corner = map.Number("speed", Quantity.Speed, 0.01, FastestMmPerS);
                var step = map.OptionalNumber("extruder_step", Quantity.Speed, 0.01, FastestMmPerS) ?? double.PositiveInfinity;
                return limits =>
                {
                    limits.Junction = JunctionModel.SquareCorner;
                    limits.SquareCornerMmPerS = corner;
                    limits.ExtruderStepMmPerS = step;
                };
            default:
                var deviation = map.Number("deviation", Quantity.Length, 0.0001, 1);
                return limits =>
                {
                    limits.Junction = JunctionModel.Deviation;
                    limits.DeviationMm = deviation;
                };
        }
    }

    private static PerAxis Axes(YamlMap map, string key, Quantity quantity, double max)
    {
        var axes = map.OptionalMap(key);
        return new(Of("x"), Of("y"), Of("z"), Of("e"));

        double Of(string axis) => axes?.OptionalNumber(axis, quantity, 0.001, max) ?? double.PositiveInfinity;
    }
}
