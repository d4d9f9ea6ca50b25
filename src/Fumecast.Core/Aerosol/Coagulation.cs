// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Aerosol;

/// <summary>What becomes of an aerosol left alone in a volume: particles stick together, and settle on surfaces by their size.</summary>
/// <remarks>
/// <para>Moments of one lognormal mode. With B the mean kernel, dN/dt = -B/2 N2 - kN N; mass settles only, dM/dt = -kM M; the sum of the diameters falls by what the two particles of a
/// meeting are longer side by side than as one. Source: air reference, 5.3 and 6.2; the moments follow from the equation of coagulation.</para>
/// <para>That the mode stays lognormal is the one assumption. Of the moments that may carry the width, the sum of diameters errs least: against many sections, number stays within 2 % from
/// 1e3 to 1e8 per cm3 up to a GSD of 1.8 and within 2.5 % at 2.0 (tested); with the squares of the masses it would be 14 %, with a fixed GSD more.</para>
/// </remarks>
/// <param name="rate">How fast a distribution coagulates.</param>
/// <param name="densityGPerCm3">Density of the particles [g/cm3], over 0.</param>
internal sealed class Coagulation(ICoagulationRate rate, double densityGPerCm3)
{
    private const double PerSFromPerH = 1.0 / 3600;

    /// <summary>Amounts that left the air in a step.</summary>
    /// <param name="DepositedNumber">Particles on surfaces [1/m3].</param>
    /// <param name="DepositedMassUg">Mass on surfaces [ug/m3].</param>
    /// <param name="Coagulated">Particles that are now part of others [1/m3].</param>
    internal readonly record struct Lost(double DepositedNumber, double DepositedMassUg, double Coagulated);

    /// <summary>Rates while nothing changes in size.</summary>
    /// <param name="MeetingM3PerS">Half the mean kernel [m3/s].</param>
    /// <param name="LengthPower">How the sum of diameters follows the number: relative change over relative change [-].</param>
    /// <param name="NumberPerS">Deposition of number [1/s].</param>
    /// <param name="MassPerS">Deposition of mass [1/s].</param>
    /// <param name="LengthPerS">Deposition of the sum of diameters [1/s].</param>
    internal readonly record struct Rates(double MeetingM3PerS, double LengthPower, double NumberPerS, double MassPerS, double LengthPerS)
    {
        /// <summary>Rates to hold over a time: those of its middle where little sticks, those of its end where much does, since they last.</summary>
        /// <param name="before">At its beginning.</param>
        /// <param name="after">At its end.</param>
        /// <param name="stuck">Rate of sticking times the time [-].</param>
        public static Rates Between(in Rates before, in Rates after, double stuck)
        {
            var a = 0.5 / (1 + stuck);
            var b = 1 - a;
            return new Rates(
                a * before.MeetingM3PerS + b * after.MeetingM3PerS,
                a * before.LengthPower + b * after.LengthPower,
                a * before.NumberPerS + b * after.NumberPerS,
                a * before.MassPerS + b * after.MassPerS,
                a * before.LengthPerS + b * after.LengthPerS);
        }
    }

    /// <summary>Advances by a time, with rates of its middle: right to the second order of the time.</summary>
    /// <param name="moments">The aerosol; changed.</param>
    /// <param name="seconds">Time [s], 0 or more.</param>
    /// <param name="deposition">Deposition by size, or null for none.</param>
    /// <returns>What left the air, to rounding the same as what is missing.</returns>
    public Lost Advance(ref AerosolMoments moments, double seconds, SizeDeposition? deposition)
    {
        if (moments.IsEmpty)
        {
            return default;
        }

        var half = moments;
        Advance(ref half, seconds / 2, RatesOf(moments, deposition));
        return half.IsEmpty ? default : Advance(ref moments, seconds, RatesOf(half, deposition));
    }

    /// <summary>Rate at which a particle leaves by sticking or settling [1/s].</summary>
    /// <param name="moments">The aerosol.</param>
    /// <param name="deposition">Deposition by size, or null for none.</param>
    public double FastestPerS(in AerosolMoments moments, SizeDeposition? deposition)
    {
        if (moments.IsEmpty)
        {
            return 0;
        }

        var rates = RatesOf(moments, deposition);
        return rates.MeetingM3PerS * moments.NumberPerM3 + rates.NumberPerS;
    }

    /// <summary>Rates of an aerosol as it is.</summary>
    /// <param name="moments">The aerosol, not empty.</param>
    /// <param name="deposition">Deposition by size, or null for none.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public Rates RatesOf(in AerosolMoments moments, SizeDeposition? deposition)
    {
        var ln2 = moments.LnGsdSquared(densityGPerCm3);
        var cmdNm = moments.CmdNm(ln2);
        var meeting = rate.Of(cmdNm, ln2);
        var (number, mass, length) = deposition?.RatesPerH(cmdNm, ln2) ?? default;
        return new Rates(
            meeting.MeanM3PerS / 2, meeting.LengthPerMeeting * cmdNm / moments.MeanNm, PerSFromPerH * number, PerSFromPerH * mass, PerSFromPerH * length);
    }

    /// <summary>Advances by a time in which rates hold.</summary>
    /// <param name="moments">The aerosol, not empty; changed.</param>
    /// <param name="seconds">Time [s], 0 or more.</param>
    /// <param name="rates">The rates.</param>
    /// <returns>What left the air.</returns>
    public static Lost Advance(ref AerosolMoments moments, double seconds, in Rates rates)
    {
        var (number, mass) = (moments.NumberPerM3, moments.MassUgPerM3);

        // dN/dt = -k N - K N2 has a closed form, also for k = 0; of it, the share that settled is (k / K) ln(1 + x).
        var stayed = number * seconds * Decay.Mean(rates.NumberPerS * seconds);
        var met = rates.MeetingM3PerS * stayed;
        var numberAfter = number * Math.Exp(-rates.NumberPerS * seconds) / (1 + met);
        var coagulated = Math.Max(0, number - numberAfter - rates.NumberPerS * stayed * MeanOfReciprocal(met));
        var massAfter = mass * Math.Exp(-rates.MassPerS * seconds);

        moments = new AerosolMoments(
            numberAfter, massAfter, moments.LengthNmPerM3 * Math.Exp(-rates.LengthPerS * seconds) * Math.Pow(1 + met, -rates.LengthPower));
        return new Lost(number - numberAfter - coagulated, mass - massAfter, coagulated);
    }

    /// <summary>ln(1 + x) / x [-], by series near 0.</summary>
    private static double MeanOfReciprocal(double x) => x > 1e-4 ? Math.Log(1 + x) / x : 1 - x * (0.5 - x * (1.0 / 3 - x / 4));
}
