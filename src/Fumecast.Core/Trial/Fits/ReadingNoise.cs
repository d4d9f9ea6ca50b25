// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>How a meter's readings scatter about the level: a floor, a share of the print's own level, a memory.</summary>
/// <param name="Floor">Standard deviation without a print [unit of the readings], over 0.</param>
/// <param name="Share">Standard deviation that the print adds, as a share of its level [-], 0 or more.</param>
/// <param name="MemoryH">Time constant with which neighbouring errors forget each other [h], over 0.</param>
internal readonly record struct ReadingNoise(double Floor, double Share, double MemoryH)
{
    /// <summary>What is taken before a log has told better: 1 unit, no share, 3 min.</summary>
    public static ReadingNoise Unknown { get; } = new(1, 0, 0.05);

    /// <summary>Noise with the usual share and memory: 4 % and 3 min.</summary>
    /// <param name="floor">Standard deviation without a print [unit of the readings].</param>
    public static ReadingNoise Usual(double floor) => new(floor, 0.04, 0.05);

    /// <summary>Standard deviation of a reading.</summary>
    /// <param name="printLevel">What the print adds by the model, never the reading itself.</param>
    public double Deviation(double printLevel) => double.Hypot(Floor, Share * Math.Max(0, printLevel));
}
