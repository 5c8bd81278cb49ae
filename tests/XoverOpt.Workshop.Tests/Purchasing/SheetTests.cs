using System.Text;
using FsCheck;
using FsCheck.Xunit;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Tests;

public class SheetTests
{
    [Property]
    public bool Read_WhatWasWritten_IsTheSameText(NonNull<string>[] cells, bool comma)
    {
        // Neither zero bytes nor halves of a letter are text.
        string[] row = ["first", .. cells.Select(cell => string.Concat(cell.Get.Where(letter => letter != '\0' && !char.IsSurrogate(letter))))];
        SheetDialect dialect = comma ? SheetDialect.Comma : SheetDialect.Point;
        Sheet sheet = Read(dialect.Write([["a", "b", "c"], row]));

        return row.SequenceEqual(sheet.Rows[1].Cells.Select(SheetDialect.Meant));
    }

    [Theory]
    [InlineData("=1+1")]
    [InlineData("'=1+1")]
    [InlineData("'")]
    [InlineData("''")]
    [InlineData("'plain")]
    [InlineData("-3 dB pad")]
    [InlineData("@home")]
    [InlineData("\r\n=1")]
    [InlineData("<b>bold</b>, \"quoted\"; and more")]
    public void Meant_OfAGuardedCell_IsTheTextAsItWas(string text)
    {
        Sheet sheet = Read(SheetDialect.Comma.Write([["x", "y"], [text, 1m]]));

        Assert.Equal(text, SheetDialect.Meant(sheet.Rows[1].Cells[0]));
        Assert.False(sheet.Rows[1].Cells[0][0] is '=' or '+' or '-' or '@' or '\t' or '\r' or '\n');
    }

    [Fact]
    public void Read_QuotedBreaks_CountLinesAsAnEditorDoes()
    {
        Sheet sheet = Read(Encoding.UTF8.GetBytes("part,stock\n\"a\nb\",1\n\n ,\nc,2"));

        Assert.Equal([1, 2, 6], sheet.Rows.Select(row => row.Line));
        Assert.Equal(["c", "2"], sheet.Rows[2].Cells);
    }

    [Theory]
    [InlineData("part,stock\n\"a,1\n", "line 2, column 1", "never closed")]
    [InlineData("part,stock\n\"a\"b,1\n", "line 2, column 1", "after the closing")]
    public void Read_BrokenQuotes_AreFaultsWithTheirPlace(string text, string place, string found)
    {
        FaultList faults = new();

        Assert.Null(Sheet.Read(Encoding.UTF8.GetBytes(text), "s.csv", faults));
        Assert.Equal(place, faults.Items[0].Pointer);
        Assert.Contains(found, faults.Items[0].Found, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_OtherEncodings_AreRefusedWithTheFix()
    {
        foreach (byte[] bytes in new byte[][] { Encoding.Unicode.GetPreamble(), [.. Encoding.Latin1.GetBytes("part\nresistor µ")], [(byte)'a', 0] })
        {
            FaultList faults = new();
            Assert.Null(Sheet.Read(bytes, "s.csv", faults));
            Assert.Contains("UTF-8", faults.Items[0].Allowed, StringComparison.Ordinal);
        }
    }

    private static Sheet Read(byte[] bytes)
    {
        FaultList faults = new();
        Sheet? sheet = Sheet.Read(bytes, "s.csv", faults);
        Assert.Empty(faults.Items);
        return sheet!;
    }
}
