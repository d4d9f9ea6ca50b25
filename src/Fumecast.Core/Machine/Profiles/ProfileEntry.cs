// SPDX-License-Identifier: MIT
using Fumecast.Heat;
using Fumecast.Inputs;

namespace Fumecast.Machine;

/// <summary>Reads a printer profile from its file.</summary>
/// <remarks>Every number has its unit. Each group of numbers may say in <c>basis</c> where they come from; the shipped profiles do.</remarks>
internal static class ProfileEntry
{
    /// <summary>What a file of this kind says it is.</summary>
    public const string Schema = "fumecast/printer/1";

    // A nozzle at 210 degC in a room: where the straight line that stands in for a power law shall agree with it.
    private const double TypicalRiseK = 185;

    /// <summary>Reads a profile.</summary>
    /// <param name="data">The file and its text.</param>
    /// <exception cref="InputProblem">The file is wrong; the message has line and column.</exception>
    public static PrinterProfile Read(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(Schema);
        ReadBasis(map);
        var motion = map.Map("motion");
        return Size(map, Times(map, Waits(map, new()
        {
            Id = map.Id(),
            Description = map.Text("description"),
            Dialect = DialectEntry.Read(map),
            StartLimits = MotionEntry.Read(motion),
            LookaheadBlocks = motion.OptionalInteger("lookahead_blocks", 2, 100_000),
            FilamentDiameterMm = map.Number("filament_diameter", Quantity.Length, 0.5, 10),
            Retraction = Retraction(map),
            Nozzle = Nozzle(map.Map("nozzle"), out var coldC, out var maxC),
            ColdLimitC = coldC,
            MaxNozzleC = maxC,
            Bed = Heater(map.Map("bed")),
            AmbientC = map.Number("ambient", Quantity.Temperature, -20, 90),
            Macros = MacroEntry.Read(map),
        })));
    });

    /// <summary>Lets a group say where its numbers come from.</summary>
    public static void ReadBasis(YamlMap map) => map.OptionalText("basis");

    private static PrinterProfile Size(YamlMap profile, PrinterProfile so)
    {
        var map = profile.Map("size");
        ReadBasis(map);
        return so with
        {
            BedXMm = map.Number("x", Quantity.Length, 10, 10_000),
            BedYMm = map.Number("y", Quantity.Length, 10, 10_000),
            HeightMm = map.Number("z", Quantity.Length, 10, 10_000),
        };
    }

    private static PrinterProfile Times(YamlMap profile, PrinterProfile so)
    {
        const double hourS = 3600;
        var map = profile.Map("times");
        ReadBasis(map);
        return so with
        {
            HomingS = map.Number("homing", Quantity.Time, 0, hourS),
            ProbeS = map.Number("probing", Quantity.Time, 0, hourS),
            ToolChangeS = map.Number("tool_change", Quantity.Time, 0, hourS),
            FilamentChangeS = map.OptionalNumber("filament_change", Quantity.Time, 0, hourS) ?? so.FilamentChangeS,
            PersonS = map.OptionalNumber("person", Quantity.Time, 0, 24 * hourS) ?? so.PersonS,
        };
    }

    private static PrinterProfile Waits(YamlMap profile, PrinterProfile so)
    {
        var map = profile.Map("wait");
        ReadBasis(map);
        var rule = map.Choice<WaitRule>("rule");
        return so with
        {
            Wait = rule,
            WaitWindowK = map.Number("window", Quantity.TemperatureStep, 0, 50),
            WaitS = rule == WaitRule.Band ? 0 : map.Number("time", Quantity.Time, 0, 600),
            WaitMinTargetC = rule == WaitRule.Band ? map.OptionalNumber("min_target", Quantity.Temperature, 0, 200) ?? 0 : 0,
        };
    }

    private static FirmwareRetraction Retraction(YamlMap profile)
    {
        if (profile.OptionalMap("firmware_retraction") is not { } map)
        {
            return new();
        }

        ReadBasis(map);
        return new()
        {
            LengthMm = map.Number("length", Quantity.Length, 0, 100),
            SpeedMmPerS = map.Number("speed", Quantity.Speed, 0.1, 500),
            RecoverSpeedMmPerS = map.Number("recover_speed", Quantity.Speed, 0.1, 500),
            ExtraMm = map.OptionalNumber("extra", Quantity.Length, -10, 10) ?? 0,
            LiftMm = map.OptionalNumber("lift", Quantity.Length, 0, 50) ?? 0,
        };
    }

    private static HeaterModel Nozzle(YamlMap map, out double coldC, out double maxC)
    {
        coldC = map.Number("cold_limit", Quantity.Temperature, 0, 300);
        maxC = map.Number("highest", Quantity.Temperature, 100, 600);
        if (map.Has("cold_limit") && map.Has("highest") && !(coldC < maxC))
        {
            map.Refuse("highest", "not over cold_limit, expected the higher of both");
        }

        return Heater(map);
    }

    /// <summary>A heater by its physics, by the two figures that a stopwatch gives, or by those of a firmware family with a power law.</summary>
    private static HeaterModel Heater(YamlMap map)
    {
        ReadBasis(map);
        var deadS = map.OptionalNumber("dead_time", Quantity.Time, 0, 600) ?? 0;
        if (map.Has("cooling_rate"))
        {
            var cooling = map.Number("cooling_rate", Quantity.TemperatureRate, 0, 100);
            return HeaterModel.FromPowerLaw(
                map.Number("rate", Quantity.TemperatureRate, 0.001, 100),
                cooling,
                cooling + (map.OptionalNumber("cooling_rate_of_fan", Quantity.TemperatureRate, 0, 100) ?? 0),
                map.Number("cooling_exponent", Quantity.Number, 1, 3),
                deadS,
                TypicalRiseK);
        }

        if (map.Has("rate"))
        {
            return HeaterModel.FromRate(
                map.Number("rate", Quantity.TemperatureRate, 0.001, 100), map.Number("time_constant", Quantity.Time, 1, 100_000), deadS);
        }

        var loss = map.Number("loss", Quantity.HeatLoss, 0, 100);
        var fanLoss = map.OptionalNumber("loss_with_fan", Quantity.HeatLoss, 0, 100) ?? loss;
        if (fanLoss < loss)
        {
            map.Refuse("loss_with_fan", "below loss, expected the larger of both");
        }

        return new()
        {
            PowerW = map.Number("power", Quantity.Power, 0.1, 10_000),
            HeatCapacityJPerK = map.Number("heat_capacity", Quantity.HeatCapacity, 0.1, 100_000),
            LossWPerK = loss,
            LossFanFullWPerK = fanLoss,
            DeadTimeS = deadS,
        };
    }
}
