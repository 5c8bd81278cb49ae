using System.Text.Json.Nodes;

namespace XoverOpt.Workshop.Tests;

/// <summary>Whatever stands wherever, reading ends in a value or in faults that point somewhere, never in an exception.</summary>
public sealed class JobMutationTests : IDisposable
{
    private static readonly string[] Others = ["null", "true", "\"x\"", "\"\"", "\"\\ud800\"", "-1", "0", "0.5", "1e400", "-1e300", "[]", "[[]]", "[null]", "{}", "{ \"x\": 1, \"x\": 2 }"];

    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void ReadPosted_AnyValueReplaced_EndsInAValueOrFaults()
    {
        _desk.Write("driverlib/receivers.json", JobDesk.Receiver("LO-1", "low"));
        string whole = _desk.Good(JobFileTests.FullJob, "20,5,1\n160,0,1\n").SelfContainedJson;
        int places = Places(JsonNode.Parse(whole)!).Count, refused = 0, good = 0;
        for (int place = 0; place < places; place++)
        {
            foreach (string other in Others)
            {
                JsonNode job = JsonNode.Parse(whole)!;
                JsonNode old = Places(job)[place];
                const string Mark = "\"@@@\"";
                old.ReplaceWith("@@@");

                Reading<JobDocument> reading = _desk.ReadPosted(job.ToJsonString().Replace(Mark, other, StringComparison.Ordinal));

                Assert.NotEqual(reading.IsGood, reading.Faults.Count > 0);
                Assert.All(reading.Faults, fault => Assert.True(fault.Pointer.Length == 0 || fault.Pointer[0] == '/'));
                _ = reading.IsGood ? good++ : refused++;
            }
        }

        // Some replacements are lawful, such as 0.5 for another number; most are not.
        Assert.InRange(good, 1, refused / 2);
    }

    private static List<JsonNode> Places(JsonNode node)
    {
        List<JsonNode> below = node switch
        {
            JsonObject members => [.. members.SelectMany(member => Places(member.Value!))],
            JsonArray items => [.. items.SelectMany(item => Places(item!))],
            _ => [],
        };
        return node.Parent is null ? below : [node, .. below];
    }
}
