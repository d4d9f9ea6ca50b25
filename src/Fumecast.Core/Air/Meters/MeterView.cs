// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>What a meter shows of the air, apart from its noise.</summary>
/// <remarks>
/// A meter that counts scattered light sees particles above its cut only; those of prints are mostly smaller, so that one print and another of equal number may
/// differ a thousandfold in what it shows. Source: air reference, 6.3 and 7.
/// </remarks>
internal static class MeterView
{
    /// <summary>Share of what is in the air that a channel can see: of the number, or of the mass, between its two cuts [-].</summary>
    /// <param name="channel">The channel; 1 for vapours.</param>
    /// <param name="size">Sizes of the particles.</param>
    public static double ShareSeen(MeterChannel channel, ParticleSize size)
    {
        ArgumentNullException.ThrowIfNull(channel);
        if (channel is not { LowerCutNm: { } low, UpperCutNm: { } high })
        {
            return 1;
        }

        return channel.Quantity == MeterQuantity.Number
            ? size.NumberShareAbove(low) - size.NumberShareAbove(high)
            : size.MassShareAbove(low) - size.MassShareAbove(high);
    }

    /// <summary>Share of the mass above 0.3 um that a channel for mass with the same cut or a larger one can see [-].</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="size">Sizes of the particles.</param>
    /// <remarks>What a print gives off above 1 um is next to nothing, so an upper cut plays no part.</remarks>
    public static double ShareOfVisible(MeterChannel channel, ParticleSize size)
    {
        ArgumentNullException.ThrowIfNull(channel);
        return channel.LowerCutNm is > Agent.VisibleFromNm and var low && size.MassShareAbove(Agent.VisibleFromNm) is > 0 and var visible ? size.MassShareAbove(low) / visible : 1;
    }

    /// <summary>What a channel shows [ug/m3 or 1/cm3].</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="air">The air, or what a print adds to it: a channel is linear.</param>
    /// <param name="response">What this unit shows of what it can see, as a factor [-]: a value of <see cref="MeterChannel.Response"/>.</param>
    public static double Shown(MeterChannel channel, MeterAir air, double response)
    {
        ArgumentNullException.ThrowIfNull(channel);
        var there = channel.Quantity switch
        {
            MeterQuantity.Tvoc => air.TvocUgPerM3,
            MeterQuantity.Number => air.Size is { } size ? air.NumberPerCm3 * ShareSeen(channel, size) : 0,
            _ => air.Size is { } size ? air.MassUgPerM3 * ShareSeen(channel, size) : 0,
        };
        return response * there;
    }

    /// <summary>What a channel shows of particles whose mass above 0.3 um is followed on its own [ug/m3]: for meters that begin there.</summary>
    /// <param name="channel">The channel; not number or vapours.</param>
    /// <param name="visibleUgPerM3">Mass of particles above 0.3 um [ug/m3], 0 or more.</param>
    /// <param name="response">As in <see cref="Shown"/>.</param>
    /// <remarks>What a print gives off above 1 um is next to nothing, so an upper cut plays no part.</remarks>
    public static double ShownOfVisible(MeterChannel channel, double visibleUgPerM3, double response)
    {
        ArgumentNullException.ThrowIfNull(channel);
        return channel is { LowerCutNm: not null, Quantity: not MeterQuantity.Number } ? response * visibleUgPerM3 : 0;
    }

    /// <summary>What the display shows of a level: the nearest of its steps.</summary>
    /// <param name="level">The level [ug/m3 or 1/cm3].</param>
    /// <param name="resolution">A step of the display, 0 or more, in the same unit.</param>
    public static double OnDisplay(double level, double resolution) =>
        resolution > 0 ? Math.Max(0, Math.Round(level / resolution, MidpointRounding.AwayFromZero) * resolution) : Math.Max(0, level);
}
