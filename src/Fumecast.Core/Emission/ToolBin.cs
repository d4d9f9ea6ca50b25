// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Emission;

/// <summary>What one tool gave off in one bin of time, by component, so that any draw of the figures can be put in.</summary>
/// <remarks>
/// Exposures are at the middle slopes and without any yield: particles of the nozzle's own are yield × share × <see cref="PrintingOwnG"/>, those by
/// mass yield × (1 - share) × <see cref="MassG"/>. Moments with and without deposit stand apart, since the cap looks at each.
/// </remarks>
[StructLayout(LayoutKind.Sequential)]
internal struct ToolBin
{
    /// <summary>Numbers that it is made of [-].</summary>
    public const int Length = 15;

    /// <summary>Reference mass rate times time with deposit, times exp(b (T - Tref)) [g].</summary>
    public double PrintingOwnG;

    /// <summary>The same for time without deposit [g].</summary>
    public double RestingOwnG;

    /// <summary>Deposited mass times exp(b (T - Tref)) [g].</summary>
    public double MassG;

    /// <summary>Hot time of moments with deposit [s].</summary>
    public double PrintingS;

    /// <summary>Hot time of moments without deposit [s].</summary>
    public double RestingS;

    /// <summary>All of these times temperature above the reference, by what they give off [g K].</summary>
    public double StepGK;

    /// <summary>What is left of the start dose at the start of the bin, the cap included, from 1 [-].</summary>
    public double LeftAtStart;

    /// <summary>What is left of the start dose at the end of the bin, the cap included, from 1 [-].</summary>
    public double LeftAtEnd;

    /// <summary>Age of the start dose at the end of the bin, were there no cap: integral of exp(b (T - Tref)) over the decay time [-].</summary>
    public double AgeWithoutCap;

    /// <summary>The same integral weighted with the temperature above the reference [K].</summary>
    public double AgeStepK;

    /// <summary>Reference mass rate times hot time, times exp(b (T - Tref)) of the volatile compounds [g].</summary>
    public double TvocOwnG;

    /// <summary>Deposited mass times exp(b (T - Tref)) of the volatile compounds [g].</summary>
    public double TvocMassG;

    /// <summary>Both times temperature above the reference, by what they give off [g K].</summary>
    public double TvocStepGK;

    /// <summary>Particles at the middle of all figures, the cap included [-].</summary>
    public double Number;

    /// <summary>Volatile organic compounds at the middle of all figures [ug].</summary>
    public double TvocUg;

    /// <summary>It as numbers, to be kept.</summary>
    public static ReadOnlySpan<double> Pack(ref readonly ToolBin bin) => MemoryMarshal.Cast<ToolBin, double>(new ReadOnlySpan<ToolBin>(in bin));

    /// <summary>Reads what <see cref="Pack"/> gave.</summary>
    public static ToolBin Unpack(ReadOnlySpan<double> from) => MemoryMarshal.Read<ToolBin>(MemoryMarshal.AsBytes(from));
}
