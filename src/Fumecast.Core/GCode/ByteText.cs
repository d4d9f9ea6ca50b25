// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.GCode;

/// <summary>Turns bytes of a job into text: UTF-8 where they are, else one character per byte.</summary>
internal static class ByteText
{
    private const int LongestExcerpt = 40;

    private static readonly UTF8Encoding Strict = new(false, throwOnInvalidBytes: true);

    internal static string Decode(ReadOnlySpan<byte> bytes) =>
        System.Text.Unicode.Utf8.IsValid(bytes) ? Strict.GetString(bytes) : Encoding.Latin1.GetString(bytes);

    /// <summary>A piece of input fit for a one-line message: short, and without control characters.</summary>
    internal static string Excerpt(ReadOnlySpan<byte> bytes)
    {
        var isCut = bytes.Length > LongestExcerpt;
        var text = Decode(isCut ? bytes[..LongestExcerpt] : bytes);
        var clean = string.Create(text.Length, text, static (target, source) =>
        {
            for (var i = 0; i < source.Length; i++)
            {
                target[i] = char.IsControl(source[i]) ? (source[i] == '\t' ? ' ' : '?') : source[i];
            }
        });
        return isCut ? clean + "…" : clean;
    }
}
