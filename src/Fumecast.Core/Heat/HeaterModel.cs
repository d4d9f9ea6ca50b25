// SPDX-License-Identifier: MIT
namespace Fumecast.Heat;

/// <summary>A lumped heated block: C dT/dt = P + h (Tambient - T), with h growing with fan and filament flow.</summary>
/// <remarks>Source of the form: published model of a firmware family's predictive temperature control (gcode reference, H1 to H4).</remarks>
internal sealed record HeaterModel
{
    /// <summary>Heater power at full duty [W].</summary>
    public required double PowerW { get; init; }

    /// <summary>Heat capacity of the block [J/K].</summary>
    public required double HeatCapacityJPerK { get; init; }

    /// <summary>Loss to the air with the fan off [W/K].</summary>
    public required double LossWPerK { get; init; }

    /// <summary>Loss to the air with the fan at full speed [W/K].</summary>
    public required double LossFanFullWPerK { get; init; }

    /// <summary>Time before power shows in the temperature [s].</summary>
    public double DeadTimeS { get; init; }

    /// <summary>Whether power and capacity are watts and joules; where only rates are known they stand for 1 J/K, and heat carried off by flow cannot be compared.</summary>
    public bool IsInWatts { get; init; } = true;

    /// <summary>Power that holds a temperature.</summary>
    /// <param name="aboveAmbientK">The temperature above ambient [K].</param>
    /// <param name="fanShare">Fan speed as a share of full [-].</param>
    /// <param name="flowHeatWPerK">Heat that the filament carries off [W/K].</param>
    /// <returns>The power [W].</returns>
    public double PowerAt(double aboveAmbientK, double fanShare, double flowHeatWPerK) =>
        (LossWPerK + ((LossFanFullWPerK - LossWPerK) * fanShare) + flowHeatWPerK) * aboveAmbientK;

    /// <summary>A heater known by its rate at ambient and its time constant.</summary>
    /// <param name="rateKPerS">Rate of rise at ambient, full power [K/s].</param>
    /// <param name="timeConstantS">Time constant [s].</param>
    /// <param name="deadTimeS">Dead time [s].</param>
    public static HeaterModel FromRate(double rateKPerS, double timeConstantS, double deadTimeS) => new()
    {
        PowerW = rateKPerS,
        HeatCapacityJPerK = 1,
        IsInWatts = false,
        LossWPerK = 1 / timeConstantS,
        LossFanFullWPerK = 1 / timeConstantS,
        DeadTimeS = deadTimeS,
    };

    /// <summary>A heater known by the figures of a firmware family whose loss grows with a power of the temperature above ambient.</summary>
    /// <param name="rateKPerS">Rate of rise at ambient, full power [K/s], over 0.</param>
    /// <param name="coolingKPerS">Rate of cooling at 100 K above ambient, fan off [K/s], 0 or more.</param>
    /// <param name="coolingFanKPerS">The same with the fan at full speed [K/s], 0 or more.</param>
    /// <param name="exponent">Exponent of the loss [-]; 1 for a loss in proportion.</param>
    /// <param name="deadTimeS">Dead time [s].</param>
    /// <param name="aboveAmbientK">Temperature above ambient at which the loss shall agree: about that of printing [K], over 0.</param>
    /// <remarks>
    /// A stand-in: the loss is drawn as a straight line through ambient and that point, which keeps the closed forms. It agrees where
    /// the block is held, and is off in between: for the family's example 1.3 % long in heating up, 4 % short in
    /// cooling from 210 to 170 degC and a third short in cooling to 50 degC. Source of the law: the family's documentation (gcode reference, 6.1 and H5).
    /// </remarks>
    public static HeaterModel FromPowerLaw(
        double rateKPerS, double coolingKPerS, double coolingFanKPerS, double exponent, double deadTimeS, double aboveAmbientK)
    {
        var perK = Math.Pow(aboveAmbientK / 100, exponent) / aboveAmbientK;
        return new()
        {
            PowerW = rateKPerS,
            HeatCapacityJPerK = 1,
            IsInWatts = false,
            LossWPerK = coolingKPerS * perK,
            LossFanFullWPerK = coolingFanKPerS * perK,
            DeadTimeS = deadTimeS,
        };
    }
}
