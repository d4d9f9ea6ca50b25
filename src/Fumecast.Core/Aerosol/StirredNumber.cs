// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Aerosol;

/// <summary>Particles in a well-mixed volume with a constant source, a constant loss and a constant kernel: dN/dt = S - l N - K N2, in closed form for any time.</summary>
/// <remarks>Source: air reference, 5.3, of which the steady level and the decay are special cases; the general solution is that of an equation of Riccati, textbook.</remarks>
internal static class StirredNumber
{
    private const double HardlyAnyMeet = 1e-7;

    /// <summary>Follows them for a time.</summary>
    /// <param name="number">At the beginning [1/m3], 0 or more.</param>
    /// <param name="sourcePerS">Source [1/m3 for each s], 0 or more.</param>
    /// <param name="lossPerS">Loss [1/s], 0 or more.</param>
    /// <param name="meetingM3PerS">Half the mean kernel [m3/s], 0 or more.</param>
    /// <param name="seconds">The time [s], over 0.</param>
    /// <returns>At the end [1/m3], and the mean over the time [1/m3].</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static (double End, double Mean) After(double number, double sourcePerS, double lossPerS, double meetingM3PerS, double seconds)
    {
        if (meetingM3PerS * (number + sourcePerS * seconds) * seconds < HardlyAnyMeet)
        {
            var (stays, mean, filling) = Decay.All(lossPerS * seconds);
            return (number * stays + sourcePerS * seconds * mean, number * mean + sourcePerS * seconds * filling);
        }

        // q of the exponent; left is exp(-q t) and fill its mean, which stays 1 where nothing is lost and nothing given off.
        var q = Math.Sqrt(lossPerS * lossPerS + 4 * meetingM3PerS * sourcePerS);
        var qt = q * seconds;
        var left = Math.Exp(-qt);
        var fill = qt > 1e-5 ? (1 - left) / qt : 1 - qt * (0.5 - qt / 6);
        var half = fill * seconds / 2;
        var weight = (1 + left) / 2 + (lossPerS + 2 * meetingM3PerS * number) * half;
        var end = (number * ((1 + left) / 2 - lossPerS * half) + 2 * sourcePerS * half) / weight;
        var growing = q > 0 ? 2 * meetingM3PerS * sourcePerS * seconds / (q + lossPerS) : 0;
        return (Math.Max(0, end), Math.Max(0, (growing + Math.Log(weight)) / (meetingM3PerS * seconds)));
    }
}
