// SPDX-License-Identifier: MIT
namespace Fumecast.Heat;

/// <summary>A lumped heated block: C dT/dt = P + h (Tambient - T), with h growing with fan and filament flow.</summary>
/// <remarks>Source of the form: published model of a firmware family's predictive temperature control (gcode reference, H1 to H4).</remarks>
public sealed record HeaterModel
{
    /// <summary>Heater power at full duty [W].</summary>
    public required double PowerW { get; init; }

    /// <summary>Heat capacity of the block [J/K].</summary>
    public required double HeatCapacityJPerK { get; init; }

    /// <summary>Loss to the air with the fan off [W/K].</summary>
    public required double LossWPerK { get; init; }

    /// <summary>Loss to the air with the fan at full speed [W/K].</summary>
    public required double LossFanFullWPerK { get; init; }

    /// <summary>Rate at which the sensor follows the block; infinite for no lag [1/s].</summary>
    public double SensorRatePerS { get; init; } = double.PositiveInfinity;

    /// <summary>Time before power shows in the temperature [s].</summary>
    public double DeadTimeS { get; init; }

    /// <summary>A heater known by its rate at ambient and its time constant.</summary>
    /// <param name="rateKPerS">Rate of rise at ambient, full power [K/s].</param>
    /// <param name="timeConstantS">Time constant [s].</param>
    /// <param name="deadTimeS">Dead time [s].</param>
    public static HeaterModel FromRate(double rateKPerS, double timeConstantS, double deadTimeS) => new()
    {
        PowerW = rateKPerS,
        HeatCapacityJPerK = 1,
        LossWPerK = 1 / timeConstantS,
        LossFanFullWPerK = 1 / timeConstantS,
        DeadTimeS = deadTimeS,
    };
}
