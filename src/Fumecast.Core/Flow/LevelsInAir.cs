// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>The level that the air would have over the print phase by one source.</summary>
/// <param name="FromS">Start of the first cell since the first deposit [s].</param>
/// <param name="CellS">Length of a cell [s].</param>
/// <param name="Levels">Level at the end of each cell, 1 being the mean of the source [-]; at least three.</param>
internal sealed record LevelsInAir(double FromS, double CellS, double[] Levels)
{
    /// <summary>The middle level [-].</summary>
    public double Median => RoomSmoothing.Median(Levels);
}

/// <summary>What a job is graded by, against time, for pictures; null for what is not given off, not known or too short to tell.</summary>
/// <param name="Flow">The flow, in the stretch that is judged.</param>
/// <param name="ParticleNumber">The particles.</param>
/// <param name="Tvoc">The volatile organic compounds.</param>
internal sealed record JobInAir(LevelsInAir? Flow, LevelsInAir? ParticleNumber, LevelsInAir? Tvoc);
