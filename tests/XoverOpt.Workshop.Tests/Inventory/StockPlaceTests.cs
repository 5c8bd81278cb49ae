namespace XoverOpt.Workshop.Tests;

/// <summary>A posted job reaches the inventory root and nothing else.</summary>
public sealed class StockPlaceTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Theory]
    [InlineData("\"../driverlib\"")]
    [InlineData("\".\"")]
    [InlineData("[\"receivers.json\", \"../driverlib/stock.json\"]")]
    [InlineData("[\"./receivers.json\", \"stock.json\"]")]
    public void Posted_InsideTheRoot_IsRead(string inventory)
    {
        Reading<JobDocument> reading = Post(inventory);

        Assert.Empty(reading.Faults);
        Assert.Equal(_desk.Good(JobDesk.SmallestJob).Problem.InventoryHash, reading.Value!.Problem.InventoryHash);
    }

    [Theory]
    [InlineData("..")]
    [InlineData("../jobs/secret.json")]
    [InlineData("../driverlib/../jobs/secret.json")]
    [InlineData("sub/../../jobs/secret.json")]
    [InlineData("/etc/passwd")]
    [InlineData("../driverlib//etc/passwd/../../x")]
    [InlineData("..\\\\jobs\\\\secret.json")]
    [InlineData("C:/secret.json")]
    [InlineData("stock.json\\u0000")]
    [InlineData("./../jobs/secret.json")]
    [InlineData("sub//../../jobs/secret.json")]
    [InlineData("../driverlib/./../jobs/secret.json")]
    [InlineData("../driverlib/..")]
    [InlineData("//etc/passwd")]
    [InlineData("\\\\\\\\server\\\\share")]
    [InlineData("file:///etc/passwd")]
    [InlineData("stock.json\\n")]
    public void Posted_OutOfTheRoot_IsRefused(string path)
    {
        _desk.Write("jobs/secret.json", JobDesk.Stock);

        Fault fault = Assert.Single(Post($"\"{path}\"").Faults);

        Assert.Equal("/inventory", fault.Pointer);
        Assert.Contains("a path inside the inventory root", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("link.json")]
    [InlineData("linked/secret.json")]
    public void Posted_ThroughALink_IsRefused(string path)
    {
        string secret = _desk.Write("jobs/secret.json", JobDesk.Stock);
        File.CreateSymbolicLink(Path.Combine(_desk.Root, "link.json"), secret);
        Directory.CreateSymbolicLink(Path.Combine(_desk.Root, "linked"), Path.GetDirectoryName(secret)!);

        Fault fault = Assert.Single(Post($"\"{path}\"").Faults);

        Assert.Contains("found a link", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("%2e%2e/jobs/secret.json")]
    [InlineData("..%2fjobs%2fsecret.json")]
    [InlineData("\\uff0e\\uff0e/jobs/secret.json")]
    [InlineData("..\\u2215jobs\\u2215secret.json")]
    [InlineData("..\\uff0fjobs")]
    [InlineData("~/secret.json")]
    [InlineData("$HOME")]
    [InlineData("*")]
    [InlineData("... /jobs")]
    public void Posted_PathInDisguise_IsTakenAsItStandsAndFindsNothing(string path)
    {
        _desk.Write("jobs/secret.json", JobDesk.Stock);

        Fault fault = Assert.Single(Post($"\"{path}\"").Faults);

        Assert.Equal("/inventory", fault.Pointer);
        Assert.Contains("no such file or folder", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Posted_PipeInTheRoot_IsRefusedRatherThanWaitedFor()
    {
        // A pipe that nobody writes to would hold the reader for ever; a device has no end.
        using (System.Diagnostics.Process make = System.Diagnostics.Process.Start("mkfifo", [Path.Combine(_desk.Root, "pipe.json")]))
        {
            make.WaitForExit();
            Assert.Equal(0, make.ExitCode);
        }

        Fault named = Assert.Single(Post("\"pipe.json\"").Faults), among = Assert.Single(Post("\"../driverlib\"").Faults);

        Assert.Equal("/inventory", named.Pointer);
        Assert.Contains("pipe.json", named.Message, StringComparison.Ordinal);
        Assert.Contains("pipe.json", among.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Posted_LinkAmongTheFilesOfTheRoot_IsRefused()
    {
        File.CreateSymbolicLink(Path.Combine(_desk.Root, "link.json"), _desk.Write("jobs/secret.json", JobDesk.Stock));

        Fault fault = Assert.Single(Post("\"../driverlib\"").Faults);

        Assert.Contains("the link inventory/link.json", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Posted_FaultInTheDrawer_ShowsNoPathOfTheMachine()
    {
        _desk.Write("driverlib/bad.json", JobDesk.Receiver("X", "low", "-1"));

        Fault fault = Assert.Single(Post("\"../driverlib\"").Faults);

        Assert.Equal("inventory/bad.json", fault.File);
    }

    [Fact]
    public void Posted_InlineStock_IsRead()
    {
        Reading<JobDocument> reading = Post($"[ \"stock.json\", {JobDesk.Receiver("IN-1", "low")} ]");

        Assert.Empty(reading.Faults);
        Assert.Equal("IN-1", Assert.Single(reading.Value!.Inventory.Receivers).Receiver.PartNumber);
    }

    [Fact]
    public void Posted_OneFolderTwice_IsRefused()
    {
        Fault fault = Assert.Single(Post("[\".\", \"../driverlib\"]").Faults);

        Assert.Equal("/inventory/1", fault.Pointer);
        Assert.Contains("each folder or file once", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Posted_TooManyPaths_AreRefusedUnread()
    {
        Fault fault = Assert.Single(Post($"[{string.Join(',', Enumerable.Repeat("\".\"", 201))}]").Faults);

        Assert.Contains("at most 200 paths", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Posted_MissingRoot_IsRefused()
    {
        Reading<JobDocument> reading = JobFile.ReadPosted(System.Text.Encoding.UTF8.GetBytes(JobDesk.SmallestJob), Path.Combine(_desk.Root, "none"));

        Assert.Contains("no such file or folder: inventory", Assert.Single(reading.Faults).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Posted_NoReceivers_PointsAtTheInventory()
    {
        Fault fault = Assert.Single(Post("\"stock.json\"").Faults);

        Assert.Equal("/inventory", fault.Pointer);
        Assert.Contains("at least one receiver in the drawer", fault.Message, StringComparison.Ordinal);
    }

    private Reading<JobDocument> Post(string inventory) =>
        _desk.ReadPosted(JobDesk.SmallestJob.Replace("\"../driverlib\"", inventory, StringComparison.Ordinal));
}
