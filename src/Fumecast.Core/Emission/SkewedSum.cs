// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>Quantiles of a sum of independent deviations, each normal on either side of 0 with a spread of its own.</summary>
/// <remarks>
/// From the first three moments (Cornish and Fisher): exact when all are symmetric, within a few percent for the figures here.
/// A plain sum of squares would take each side for the whole and be off by a sixth.
/// </remarks>
internal struct SkewedSum
{
    private double mean;
    private double variance;
    private double third;

    /// <summary>Adds a deviation.</summary>
    /// <param name="up">Standard deviation upwards, 0 or more.</param>
    /// <param name="down">Standard deviation downwards, 0 or more.</param>
    public void Add(double up, double down)
    {
        var m = (up - down) / Math.Sqrt(2 * Math.PI);
        var square = (up * up + down * down) / 2;
        var cube = (up * up * up - down * down * down) * Math.Sqrt(2 / Math.PI);
        mean += m;
        variance += square - m * m;
        third += cube - 3 * m * square + 2 * m * m * m;
    }

    /// <summary>The value that is exceeded as seldom as <paramref name="z"/> standard deviations of a normal one.</summary>
    public readonly double Quantile(double z)
    {
        if (!(variance > 0))
        {
            return mean;
        }

        var deviation = Math.Sqrt(variance);
        var skewness = third / (variance * deviation);
        return mean + deviation * (z + skewness * (z * z - 1) / 6);
    }
}
