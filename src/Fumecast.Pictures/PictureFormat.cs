// SPDX-License-Identifier: MIT
namespace Fumecast.Pictures;

/// <summary>The form of a picture.</summary>
public enum PictureFormat
{
    /// <summary>Scalable, with all text as outlines: the same on every machine.</summary>
    Svg,

    /// <summary>Pixels, at twice the nominal size.</summary>
    Png,
}
