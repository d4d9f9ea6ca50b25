// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.Encodings.Web;

namespace Fumecast.Report;

/// <summary>Writes texts as they are, accents and quotes too, but signs that turn or hide text as <c>\uXXXX</c>: a person who reads the document sees them.</summary>
internal sealed class VisibleJsonEncoder : JavaScriptEncoder
{
    private const int EscapeLength = 6;
    private static readonly JavaScriptEncoder Plain = UnsafeRelaxedJsonEscaping;

    /// <inheritdoc/>
    public override int MaxOutputCharactersPerInputCharacter => Math.Max(EscapeLength, Plain.MaxOutputCharactersPerInputCharacter);

    /// <inheritdoc/>
    public override bool WillEncode(int unicodeScalar) => IsUnseen(unicodeScalar) || Plain.WillEncode(unicodeScalar);

    /// <inheritdoc/>
    public override unsafe int FindFirstCharacterToEncode(char* text, int textLength)
    {
        var first = Plain.FindFirstCharacterToEncode(text, textLength);
        for (var i = 0; i < (first < 0 ? textLength : first); i++)
        {
            if (TextPage.Steers(text[i]))
            {
                return i;
            }
        }

        return first;
    }

    /// <inheritdoc/>
    public override unsafe bool TryEncodeUnicodeScalar(int unicodeScalar, char* buffer, int bufferLength, out int numberOfCharactersWritten)
    {
        if (!IsUnseen(unicodeScalar))
        {
            return Plain.TryEncodeUnicodeScalar(unicodeScalar, buffer, bufferLength, out numberOfCharactersWritten);
        }

        return string.Create(CultureInfo.InvariantCulture, $"\\u{unicodeScalar:x4}").AsSpan().TryCopyTo(new Span<char>(buffer, bufferLength))
            ? (numberOfCharactersWritten = EscapeLength) > 0
            : (numberOfCharactersWritten = 0) > 0;
    }

    private static bool IsUnseen(int unicodeScalar) => unicodeScalar <= char.MaxValue && TextPage.Steers((char)unicodeScalar);
}
