// SPDX-License-Identifier: MIT
namespace Fumecast.Heat;

/// <summary>A stretch of constant power: the temperature relaxes exponentially, at a rate that starts known and decays.</summary>
/// <remarks>
/// Written with the starting rate instead of the final temperature, T(t) = T0 + r t (1 - e^(-x))/x with x = t / time constant,
/// so that a block without losses (no final temperature) needs no case of its own and small steps lose no digits.
/// </remarks>
internal readonly record struct HeatStage
{
    /// <summary>Temperature at the start [degC].</summary>
    public double StartC { get; init; }

    /// <summary>Rate of change at the start [K/s].</summary>
    public double RateKPerS { get; init; }

    /// <summary>Decay of the rate: 1 / time constant [1/s].</summary>
    public double DecayPerS { get; init; }

    /// <summary>How long the stage lasts if nothing changes from outside; may be infinite [s].</summary>
    public double LengthS { get; init; }

    /// <summary>Temperature at the end of a finite stage [degC].</summary>
    public double EndC { get; init; }

    /// <summary>Whether the temperature does not change.</summary>
    public bool Holds => RateKPerS == 0;

    /// <summary>A stage that stays where it is for ever.</summary>
    /// <param name="levelC">Temperature [degC].</param>
    public static HeatStage Hold(double levelC) => new() { StartC = levelC, LengthS = double.PositiveInfinity, EndC = levelC };

    /// <summary>Temperature after a time [degC].</summary>
    /// <param name="seconds">Time since the start [s].</param>
    public double TemperatureC(double seconds) =>
        Holds ? StartC : StartC + RateKPerS * seconds * MeanOfDecay(DecayPerS * seconds);

    /// <summary>Mean temperature over a time from the start [degC].</summary>
    /// <param name="seconds">Length of that time [s].</param>
    public double MeanC(double seconds) =>
        Holds ? StartC : StartC + RateKPerS * seconds * MeanOfMeanOfDecay(DecayPerS * seconds);

    /// <summary>Time until a temperature is reached, whatever <see cref="LengthS"/> is; infinite when it never is [s].</summary>
    /// <param name="levelC">The temperature [degC].</param>
    public double SecondsTo(double levelC)
    {
        var stepK = levelC - StartC;
        if (stepK == 0)
        {
            return 0;
        }

        // Share of the whole way to the final temperature; 1 or more is never reached.
        var straightS = stepK / RateKPerS;
        var share = straightS * DecayPerS;
        if (!(straightS > 0) || !(share < 1))
        {
            return double.PositiveInfinity;
        }

        return share < 1e-4
            ? straightS * (1 + share * (0.5 + share * (1.0 / 3 + share * 0.25)))
            : -Math.Log(1 - share) / DecayPerS;
    }

    /// <summary>(1 - e^(-x)) / x, by series where the difference would lose digits.</summary>
    private static double MeanOfDecay(double x) =>
        x < 1e-3 ? 1 - x * (1.0 / 2 - x * (1.0 / 6 - x * (1.0 / 24 - x / 120))) : (1 - Math.Exp(-x)) / x;

    /// <summary>(x - 1 + e^(-x)) / x^2, likewise.</summary>
    private static double MeanOfMeanOfDecay(double x) =>
        x < 1e-2 ? 1.0 / 2 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120 - x * (1.0 / 720 - x / 5040)))) : (1 - (1 - Math.Exp(-x)) / x) / x;
}
